#include "solver/program/find_report.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "solver/batch/table_head.hpp"
#include "solver/program/table_rows.hpp"

namespace thawline::program {

namespace {

using nlohmann::ordered_json;
using solver::batch::TableFile;

constexpr std::uint64_t most_lines = 30;

/// One row of a table of searches.
struct FoundRow {
  std::string ending;
  double value, held, beside, held_beside, held_at_from, held_at_to, duration, crossings, looks;
  std::string sentence;
};

FoundRow found_row(TableFile& table, std::uint64_t row) {
  const auto& head = table.head();
  const auto read = table.row(row);
  const auto number = [&](const char* name) {
    return read.numbers[column_at(head, std::string("find/") + name)];
  };
  const auto& words = head.columns[column_at(head, "find/ending")].words;
  return {words.at(static_cast<std::size_t>(number("ending"))),
          number("value"),
          number("held"),
          number("beside"),
          number("held_beside"),
          number("held_at_from"),
          number("held_at_to"),
          number("duration"),
          number("crossings"),
          number("looks"),
          read.texts[column_at(head, "reason")]};
}

bool was_found(const FoundRow& row) { return row.ending == "found" || row.ending == "jump"; }

std::uint64_t rows_of(const TableFile& table) {
  const auto& head = table.head();
  return solver::batch::rows_of_part(head.cases, head.part, head.parts);
}

std::uint64_t number_of(const TableFile& table, std::uint64_t row) {
  return solver::batch::case_in_row(row, table.head().part, table.head().parts);
}

std::string with_unit(double number, const std::string& unit) {
  return fmt::format("{:.6g}{}{}", number, unit.empty() ? "" : " ", unit);
}

/// What tells a row from the others; its sample by number.
std::string label_of(const cases::Plan& plan, std::uint64_t number) {
  std::string label = case_label(plan, number);
  const std::uint64_t samples = samples_of(plan);
  if (samples > 1) {
    label += fmt::format("{}sample {}", label.empty() ? "" : ", ", (number - 1) % samples + 1);
  }
  return label;
}

std::string line_of(const cases::Sought& sought, const FoundRow& row) {
  std::string text = "no value";
  if (was_found(row)) {
    text = fmt::format("{}, holds {:.2f} h", with_unit(row.value, sought.unit), row.held);
  }
  text += fmt::format("  ({:.0f} runs)", row.looks);
  return row.sentence.empty() ? text : text + "\n    " + row.sentence;
}

}  // namespace

std::string find_text(const cases::Plan& plan, const std::string& limit, TableFile& table) {
  const auto& sought = *plan.find;
  std::string text = fmt::format("Sought: {}, from {} to {}, for which '{}' holds {:.6g} h\n",
                                 sought.name, with_unit(sought.from, sought.unit),
                                 with_unit(sought.to, sought.unit), limit, sought.hold / 3600);
  const std::uint64_t rows = rows_of(table);
  std::size_t width = 0;
  for (std::uint64_t i = 0; i < std::min(rows, most_lines); ++i) {
    width = std::max(width, label_of(plan, number_of(table, i)).size());
  }
  for (std::uint64_t i = 0; i < std::min(rows, most_lines); ++i) {
    const std::string label = label_of(plan, number_of(table, i));
    if (width > 0) text += fmt::format("  {:{}}", label, width);
    text += "  " + line_of(sought, found_row(table, i)) + "\n";
  }
  if (rows > most_lines) text += fmt::format("  ... and {} more in the table\n", rows - most_lines);
  return text;
}

ordered_json find_json(const cases::Plan& plan, const std::string& limit, TableFile& table) {
  const auto& sought = *plan.find;
  ordered_json json{
      {"of", sought.path.text()}, {"name", sought.name},   {"unit", sought.unit},
      {"from", sought.from},      {"to", sought.to},       {"to_within", sought.to_within},
      {"limit", limit},           {"hold_s", sought.hold}, {"cases", ordered_json::array()}};
  for (std::uint64_t i = 0; i < rows_of(table); ++i) {
    const FoundRow row = found_row(table, i);
    json["cases"].push_back({{"case", number_of(table, i)},
                             {"inputs", case_label_json(plan, number_of(table, i))},
                             {"ending", row.ending},
                             {"value", number_json(row.value)},
                             {"held_h", number_json(row.held)},
                             {"beside", number_json(row.beside)},
                             {"held_beside_h", number_json(row.held_beside)},
                             {"held_at_from_h", number_json(row.held_at_from)},
                             {"held_at_to_h", number_json(row.held_at_to)},
                             {"duration_h", number_json(row.duration)},
                             {"crossings", static_cast<int>(row.crossings)},
                             {"looks", static_cast<int>(row.looks)},
                             {"sentence", row.sentence}});
  }
  return json;
}

bool any_found(TableFile& table) {
  for (std::uint64_t i = 0; i < rows_of(table); ++i) {
    if (was_found(found_row(table, i))) return true;
  }
  return false;
}

}  // namespace thawline::program
