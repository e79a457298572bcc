#include "cases/scaled_table.hpp"

#include <fmt/format.h>

namespace thawline::cases {

std::optional<std::vector<WrittenRow>> written_table(const YAML::Node& node) {
  if (!node.IsMap()) return std::nullopt;
  const YAML::Node table = node["table"];
  if (!table.IsDefined() || !table.IsSequence()) return std::nullopt;
  std::vector<WrittenRow> rows;
  for (const auto& row : table) {
    if (!row.IsSequence() || row.size() != 2 || !row[0].IsScalar() || !row[1].IsScalar()) {
      return std::nullopt;
    }
    const auto value = written_number(row[1].Scalar());
    if (!value || has_shifted_zero(value->unit)) return std::nullopt;
    rows.push_back({row[0].Scalar(), *value});
  }
  return rows;
}

WrittenValue scaled(const std::vector<WrittenRow>& rows, double factor) {
  std::string text;
  for (const auto& [at, value] : rows) {
    text += fmt::format("{}[{}, {}]", text.empty() ? "" : ", ", at,
                        written(factor * value.number, value.unit));
  }
  return {"[" + text + "]", true};
}

}  // namespace thawline::cases
