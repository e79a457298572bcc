#include "solver/program/hold_report.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solver/batch/case_label.hpp"
#include "solver/batch/spread.hpp"
#include "solver/program/hold_cells.hpp"
#include "solver/program/spread_report.hpp"
#include "solver/program/table_rows.hpp"

namespace thawline::program {

namespace {

using nlohmann::ordered_json;
using solver::batch::blank;
using solver::batch::TableFile;

constexpr std::uint64_t most_rows = 40;
constexpr std::uint64_t most_details = 60;
constexpr std::size_t columns_at_once = 6;

/// The combinations of a plan: rows of what varies, columns of contenders.
struct Frame {
  std::uint64_t rows = 0, contenders = 1, samples = 1;

  explicit Frame(const cases::Plan& plan)
      : contenders(contenders_of(plan)), samples(samples_of(plan)) {
    rows = case_count(plan) / contenders / samples;
  }
  /// Number (from 1) of the first case of a combination.
  [[nodiscard]] std::uint64_t first(std::uint64_t row, std::uint64_t contender) const {
    return (row * contenders + contender) * samples + 1;
  }
};

std::string contender_name(const cases::Plan& plan, std::uint64_t contender) {
  return plan.compare ? plan.compare->contenders[static_cast<std::size_t>(contender)].name : "held";
}

/// One cell of a combination: that of its case, or the quantiles of its samples.
HoldCell cell_of(TableFile& table, const Frame& frame, std::uint64_t first,
                 const std::string& limit) {
  if (frame.samples == 1) return hold_cell(table.head(), table.row(first - 1), limit);
  std::vector<HoldCell> cells;
  for (std::uint64_t k = 0; k < frame.samples; ++k) {
    HoldCell cell = hold_cell(table.head(), table.row(first - 1 + k), limit);
    if (cell.outcome != blank) cells.push_back(std::move(cell));
  }
  if (cells.empty()) return hold_cell(table.head(), table.row(first - 1), limit);
  std::sort(cells.begin(), cells.end(),
            [](const HoldCell& a, const HoldCell& b) { return holds_longer(b, a); });
  const auto at = [&cells](double share) -> const HoldCell& {
    const auto rank =
        static_cast<std::size_t>(std::ceil(share * static_cast<double>(cells.size()) - 1e-9));
    return cells[std::max<std::size_t>(rank, 1) - 1];
  };
  HoldCell middle = at(0.5);
  middle.least = at(0.1).held;
  middle.most = at(0.9).held;
  for (const auto& cell : cells) {
    if (cell.coldest != blank && cell.coldest < middle.coldest) {
      middle.coldest = cell.coldest;
      middle.coldest_payload = cell.coldest_payload;
    }
    if (middle.freezing.empty()) middle.freezing = cell.freezing;
  }
  return middle;
}

std::string cell_text(const HoldCell& cell, const Frame& frame) {
  if (frame.samples == 1 || cell.outcome != 0) return hold_text(cell);
  return fmt::format("{:.1f} h ({:.1f} to {:.1f})", cell.held, cell.least, cell.most);
}

/// All cells of one row of one limit, and which are the best.
struct CellRow {
  std::string label;
  std::vector<HoldCell> cells;

  [[nodiscard]] bool best(std::size_t i) const {
    if (cells.size() < 2 || cells[i].outcome == blank || cells[i].outcome == 2) return false;
    return std::none_of(cells.begin(), cells.end(),
                        [&](const HoldCell& other) { return holds_longer(other, cells[i]); });
  }
};

CellRow cell_row(const cases::ReadPlan& read, TableFile& table, const Frame& frame,
                 std::uint64_t row, const std::string& limit) {
  CellRow out;
  out.label = solver::batch::varied_label(read.plan, frame.first(row, 0));
  for (std::uint64_t k = 0; k < frame.contenders; ++k) {
    out.cells.push_back(cell_of(table, frame, frame.first(row, k), limit));
  }
  return out;
}

/// Rows of what varies against contenders, some contenders at a time.
std::string matrix_text(const cases::Plan& plan, const Frame& frame, const std::string& limit,
                        const std::vector<CellRow>& rows) {
  std::size_t label = limit.size();
  for (const auto& row : rows) label = std::max(label, row.label.size());
  std::string text;
  for (std::size_t from = 0; from < frame.contenders; from += columns_at_once) {
    const std::size_t to = std::min<std::size_t>(from + columns_at_once, frame.contenders);
    std::vector<std::size_t> widths;
    for (std::size_t k = from; k < to; ++k) {
      std::size_t width = contender_name(plan, k).size();
      for (const auto& row : rows) width = std::max(width, cell_text(row.cells[k], frame).size());
      widths.push_back(width);
    }
    text += fmt::format("  {:{}}", from == 0 ? limit : "", label);
    for (std::size_t k = from; k < to; ++k) {
      text += fmt::format("  {:>{}}  ", contender_name(plan, k), widths[k - from]);
    }
    text += "\n";
    for (const auto& row : rows) {
      text += fmt::format("  {:{}}", row.label, label);
      for (std::size_t k = from; k < to; ++k) {
        text += fmt::format("  {:>{}}{}", cell_text(row.cells[k], frame), widths[k - from],
                            row.best(k) ? " *" : "  ");
      }
      text += "\n";
    }
  }
  return text;
}

/// What ended each case of some rows, a line a case.
std::string details_text(const cases::Plan& plan, const Frame& frame, const std::string& limit,
                         const std::vector<CellRow>& rows) {
  std::size_t label = 0;
  std::size_t hold = 4;
  std::size_t ended = 8;
  const auto name_of = [&](const CellRow& row, std::size_t k) {
    return frame.contenders > 1 ? contender_name(plan, k) : row.label;
  };
  for (const auto& row : rows) {
    for (std::size_t k = 0; k < row.cells.size(); ++k) {
      label = std::max(label, name_of(row, k).size());
      hold = std::max(hold, cell_text(row.cells[k], frame).size());
      ended = std::max(ended, row.cells[k].ended_by.size());
    }
  }
  std::string text = fmt::format("    {:{}}  {:>{}}    {:{}}  {:>6}  {}\n", "", label, "held", hold,
                                 "ended by", ended, "frozen", "coldest payload");
  for (const auto& row : rows) {
    if (frame.contenders > 1) {
      text += fmt::format("  {}{}{}\n", limit, row.label.empty() ? "" : ", ", row.label);
    }
    for (std::size_t k = 0; k < row.cells.size(); ++k) {
      const HoldCell& cell = row.cells[k];
      text += fmt::format("    {:{}}  {:>{}} {}", name_of(row, k), label, cell_text(cell, frame),
                          hold, row.best(k) ? "* " : "  ");
      text += cell.outcome == blank ? fmt::format(" {}\n", cell.reason)
                                    : fmt::format(" {:{}}  {:>6}  {}\n", cell.ended_by, ended,
                                                  frozen_text(cell), coldest_text(cell));
    }
  }
  return text;
}

std::string notes_text(const Frame& frame, const std::vector<CellRow>& rows) {
  if (frame.samples > 1) {
    return "  P50, in brackets P10 and P90 of the samples; frozen of the case in the middle.\n";
  }
  for (const auto& row : rows) {
    for (const auto& cell : row.cells) {
      if (!is_flat(cell)) continue;
      return "  In brackets: what a logger's error (half a kelvin, unless the limit says "
             "otherwise) "
             "makes of it,\n  where that is more than a tenth: the curve is flat there.\n";
    }
  }
  return {};
}

}  // namespace

bool has_holds(const cases::ReadPlan& read, const TableFile& table) {
  const Frame frame(read.plan);
  return table.head().parts == 1 && !read.plan.find && frame.rows * frame.contenders > 1 &&
         !limit_names(table.head()).empty();
}

std::string holds_text(const cases::ReadPlan& read, TableFile& table) {
  const Frame frame(read.plan);
  std::string text =
      frame.contenders > 1 ? "Hold times, the best of each row marked *\n" : "Hold times\n";
  const std::uint64_t shown = std::min(frame.rows, most_rows);
  for (const auto& limit : limit_names(table.head())) {
    std::vector<CellRow> rows;
    for (std::uint64_t row = 0; row < shown; ++row) {
      rows.push_back(cell_row(read, table, frame, row, limit));
    }
    if (frame.contenders > 1 && frame.rows > 1) {
      text += matrix_text(read.plan, frame, limit, rows) + "\n";
    } else if (frame.contenders == 1) {
      text += "  " + limit + "\n";
    }
    const auto detailed = std::clamp<std::uint64_t>(most_details / frame.contenders, 1, shown);
    const std::vector<CellRow> some(rows.begin(),
                                    rows.begin() + static_cast<std::ptrdiff_t>(detailed));
    text += details_text(read.plan, frame, limit, some) + notes_text(frame, rows);
  }
  if (shown < frame.rows) {
    text += fmt::format("  ... and {} more rows in the table\n", frame.rows - shown);
  }
  return text;
}

ordered_json holds_json(const cases::ReadPlan& read, TableFile& table) {
  const Frame frame(read.plan);
  const auto number = [](double value) {
    return value == blank ? ordered_json(nullptr) : ordered_json(value);
  };
  static const char* const outcomes[] = {"ended", "outlasted", "never_within"};
  ordered_json json = ordered_json::array();
  const std::uint64_t shown = std::min(frame.rows, most_rows);
  for (const auto& limit : limit_names(table.head())) {
    for (std::uint64_t i = 0; i < shown; ++i) {
      const CellRow row = cell_row(read, table, frame, i, limit);
      for (std::size_t k = 0; k < row.cells.size(); ++k) {
        const HoldCell& cell = row.cells[k];
        const bool failed = cell.outcome == blank;
        ordered_json entry{{"limit", limit}, {"row", row.label}};
        if (read.plan.compare) entry["contender"] = contender_name(read.plan, k);
        entry["outcome"] = failed ? "failed" : outcomes[static_cast<std::size_t>(cell.outcome)];
        entry["held_h"] = failed ? ordered_json(nullptr) : ordered_json(cell.held);
        entry["held_least_h"] = failed ? ordered_json(nullptr) : ordered_json(cell.least);
        entry["held_most_h"] = failed ? ordered_json(nullptr) : ordered_json(cell.most);
        entry["best"] = row.best(k);
        entry["ended_by"] = cell.ended_by;
        entry["frozen_left"] = number(cell.frozen_left);
        entry["coldest_degC"] = number(cell.coldest);
        entry["freezes"] = cell.freezing;
        if (failed) entry["reason"] = cell.reason;
        json.push_back(entry);
      }
    }
  }
  return json;
}

namespace {

/// The pairs of a table with samples, by limit.
std::vector<std::vector<solver::batch::Paired>> pairs_of(TableFile& table) {
  return read_spread(table).pairs;
}

std::string combination_label(const cases::Plan& plan, std::uint64_t combination) {
  return solver::batch::case_label(plan, combination * samples_of(plan) + 1);
}

}  // namespace

std::string paired_text(const cases::ReadPlan& read, TableFile& table) {
  const auto names = limit_names(table.head());
  const auto all = pairs_of(table);
  std::string text;
  for (std::size_t i = 0; i < all.size(); ++i) {
    for (const auto& pair : all[i]) {
      text += fmt::format("  {}: {}\n", names[i],
                          paired_sentence(pair, combination_label(read.plan, pair.first),
                                          combination_label(read.plan, pair.second)));
    }
  }
  return text.empty() ? text : "The same samples, pair by pair\n" + text;
}

ordered_json paired_json(const cases::ReadPlan& read, TableFile& table) {
  const auto names = limit_names(table.head());
  const auto all = pairs_of(table);
  ordered_json json = ordered_json::array();
  for (std::size_t i = 0; i < all.size(); ++i) {
    for (const auto& pair : all[i]) {
      ordered_json entry{{"limit", names[i]},
                         {"first", combination_label(read.plan, pair.first)},
                         {"second", combination_label(read.plan, pair.second)},
                         {"pairs", pair.pairs},
                         {"first_longer", pair.longer},
                         {"second_longer", pair.shorter},
                         {"alike", pair.alike},
                         {"unknown", pair.unknown}};
      static const char* const shares[] = {"P10", "P50", "P90"};
      for (std::size_t k = 0; k < pair.quantiles.size(); ++k) {
        const auto& q = pair.quantiles[k];
        entry["difference_h"][shares[k]] = {
            {"hours", q.hours}, {"at_least", q.at_least}, {"at_most", q.at_most}};
      }
      json.push_back(entry);
    }
  }
  return json;
}

}  // namespace thawline::program
