#include "solver/batch/leading_columns.hpp"

#include <algorithm>
#include <set>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "solver/batch/case_label.hpp"
#include "solver/batch/column_path.hpp"

namespace thawline::solver::batch {

namespace {

/// Bytes of the longest text a column of inputs takes; 0 for one of numbers.
std::vector<std::size_t> longest_texts(const cases::Plan& plan) {
  std::vector<std::size_t> longest;
  for (const auto* varied : varied_places(plan)) {
    longest.push_back(0);
    if (varied->unit) continue;
    for (const auto& value : std::get<std::vector<cases::WrittenValue>>(varied->values)) {
      longest.back() = std::max(longest.back(), value.text.size());
    }
  }
  if (plan.compare) {
    longest.push_back(0);
    for (const auto& contender : plan.compare->contenders) {
      longest.back() = std::max(longest.back(), contender.name.size());
    }
  }
  longest.resize(cases::input_columns(plan).size(), 0);
  return longest;
}

}  // namespace

std::vector<Column> leading_columns(const cases::Plan& plan) {
  std::vector<Column> columns{{"case", "1", "number of the case", Kind::whole, {}}};
  if (plan.tolerances) {
    columns.push_back({"combination", "1", "number of the combination", Kind::whole, {}});
    columns.push_back({"sample", "1", "number of the sample", Kind::whole, {}});
  }
  if (plan.keep_histories) {
    columns.push_back(
        {"history", "1", "file of its history", Kind::text, {}, "", longest_history_name});
  }
  std::set<std::string> taken;
  const auto longest = longest_texts(plan);
  std::size_t i = 0;
  for (const auto& input : cases::input_columns(plan)) {
    const std::string path = "inputs/" + path_word(input.name, taken);
    if (!input.unit) {
      columns.push_back({path, "1", input.name, Kind::text, {}, input.role, longest[i]});
    } else {
      const std::string units = input.unit->empty() ? "1" : *input.unit;
      columns.push_back({path, units, input.name, Kind::number, {}, input.role});
    }
    ++i;
  }
  return columns;
}

Row row_of(const cases::Plan& plan, std::uint64_t number, const Answers& answers) {
  Row row;
  const auto add = [&row](double value, std::string text = {}) {
    row.numbers.push_back(value);
    row.texts.push_back(std::move(text));
  };
  add(static_cast<double>(number));
  if (plan.tolerances) {
    const std::uint64_t samples = samples_of(plan);
    add(static_cast<double>((number - 1) / samples + 1));
    add(static_cast<double>((number - 1) % samples + 1));
  }
  if (plan.keep_histories) add(blank, failed(answers) ? "" : history_name(plan, number));
  for (const auto& input : case_inputs(plan, number)) {
    add(input.number, input.text);
  }
  for (const double value : answers.numbers) add(value);
  add(blank, answers.reason);
  return row;
}

}  // namespace thawline::solver::batch
