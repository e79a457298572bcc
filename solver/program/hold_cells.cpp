#include "solver/program/hold_cells.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "solver/program/table_rows.hpp"
#include "solver/results/limit_watch.hpp"

namespace thawline::program {

namespace {

using solver::batch::blank;
using solver::batch::Column;
using solver::batch::Row;
using solver::batch::TableHead;

/// The word a row has in a column; empty where it is blank.
std::string word_in(const TableHead& head, const Row& row, const std::string& path) {
  const std::size_t k = column_at(head, path);
  const double number = row.numbers[k];
  if (number == blank || number < 0) return {};
  std::string word = head.columns[k].words.at(static_cast<std::size_t>(number));
  std::replace(word.begin(), word.end(), '_', ' ');
  return word;
}

void look_at_payloads(const TableHead& head, const Row& row, HoldCell& cell) {
  const std::string start = "payload/";
  for (std::size_t k = 0; k < head.columns.size(); ++k) {
    const std::string& path = head.columns[k].path;
    if (!path.starts_with(start) || row.numbers[k] == blank) continue;
    const std::string name = path.substr(start.size(), path.rfind('/') - start.size());
    if (path.ends_with("/freezing_at")) {
      cell.freezing += (cell.freezing.empty() ? "" : ", ") + name;
    } else if (path.ends_with("/coldest") &&
               (cell.coldest == blank || row.numbers[k] < cell.coldest)) {
      cell.coldest = row.numbers[k];
      cell.coldest_payload = name;
    }
  }
}

}  // namespace

HoldCell hold_cell(const TableHead& head, const Row& row, const std::string& limit) {
  const std::string path = "limits/" + limit;
  HoldCell cell;
  const auto number = [&](const char* name) { return row.numbers[column_at(head, path + name)]; };
  cell.outcome = number("/outcome");
  cell.reason = row.texts[column_at(head, "reason")];
  if (cell.outcome == blank) return cell;
  cell.held = number("/held");
  cell.least = number("/held_least");
  cell.most = number("/held_most");
  cell.frozen_left = number("/frozen_left");
  cell.ended_by = word_in(head, row, path + "/ended_by");
  const std::string resistance = word_in(head, row, path + "/resistance");
  if (!resistance.empty()) cell.ended_by += ": " + resistance;
  if (cell.ended_by == "nothing") cell.ended_by = "still holds";
  look_at_payloads(head, row, cell);
  return cell;
}

bool is_flat(const HoldCell& cell) {
  return cell.outcome != blank && cell.outcome != 2 &&
         std::max(cell.held - cell.least, cell.most - cell.held) > solver::flat_share * cell.held;
}

bool holds_longer(const HoldCell& a, const HoldCell& b) {
  const auto rank = [](const HoldCell& cell) {
    if (cell.outcome == blank) return 0;
    return cell.outcome == 2 ? 1 : cell.outcome == 0 ? 2 : 3;
  };
  if (rank(a) != rank(b)) return rank(a) > rank(b);
  return rank(a) == 2 && a.held > b.held;
}

std::string hold_text(const HoldCell& cell) {
  if (cell.outcome == blank) return "failed";
  if (cell.outcome == 2) return "never within";
  std::string text = fmt::format("{}{:.1f} h", cell.outcome == 1 ? "> " : "", cell.held);
  if (is_flat(cell)) text += fmt::format(" ({:.1f} to {:.1f})", cell.least, cell.most);
  return text;
}

std::string frozen_text(const HoldCell& cell) {
  return cell.frozen_left == blank ? "" : fmt::format("{:.0f} %", 100 * cell.frozen_left);
}

std::string coldest_text(const HoldCell& cell) {
  if (cell.coldest == blank) return {};
  const std::string text = fmt::format("{:.1f} degC", cell.coldest + 0.0);
  return cell.freezing.empty() ? text : text + ", freezes: " + cell.freezing;
}

}  // namespace thawline::program
