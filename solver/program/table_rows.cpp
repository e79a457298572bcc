#include "solver/program/table_rows.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

namespace thawline::program {

using nlohmann::ordered_json;
using solver::batch::blank;
using solver::batch::TableHead;

std::size_t column_at(const TableHead& head, const std::string& path) {
  const auto found = std::find_if(head.columns.begin(), head.columns.end(),
                                  [&path](const auto& column) { return column.path == path; });
  if (found == head.columns.end()) throw std::logic_error("no column '" + path + "'");
  return static_cast<std::size_t>(found - head.columns.begin());
}

std::vector<std::string> limit_names(const TableHead& head) {
  const std::string start = "limits/";
  const std::string end = "/held";
  std::vector<std::string> names;
  for (const auto& column : head.columns) {
    const std::string& path = column.path;
    if (!path.starts_with(start) || !path.ends_with(end)) continue;
    names.push_back(path.substr(start.size(), path.size() - start.size() - end.size()));
  }
  return names;
}

std::string held_text(double outcome, double hours) {
  if (outcome == blank) return "failed";
  if (outcome == 1) return fmt::format("> {:.1f} h", hours);
  return outcome == 2 ? "never within" : fmt::format("{:.2f} h", hours);
}

namespace {

/// How many of a case's inputs come before those drawn.
std::size_t undrawn(const cases::Plan& plan, std::size_t inputs) {
  return inputs - drawn_columns(plan);
}

}  // namespace

ordered_json case_label_json(const cases::Plan& plan, std::uint64_t number) {
  const auto columns = input_columns(plan);
  const auto inputs = case_inputs(plan, number);
  ordered_json json = ordered_json::object();
  for (std::size_t i = 0; i < undrawn(plan, inputs.size()); ++i) {
    if (!columns[i].unit) {
      json[columns[i].name] = inputs[i].text;
    } else if (columns[i].unit->empty()) {
      json[columns[i].name] = inputs[i].number;
    } else {
      json[columns[i].name] = {{"value", inputs[i].number}, {"unit", *columns[i].unit}};
    }
  }
  return json;
}

ordered_json number_json(double number) {
  return number == blank ? ordered_json(nullptr) : ordered_json(number);
}

}  // namespace thawline::program
