#include "solver/batch/leading_columns.hpp"

#include <set>
#include <string>
#include <utility>

#include "solver/batch/column_path.hpp"

namespace thawline::solver::batch {

std::vector<Column> leading_columns(const cases::Plan& plan) {
  std::vector<Column> columns{{"case", "1", "number of the case", Kind::whole, {}}};
  if (plan.tolerances) {
    columns.push_back({"combination", "1", "number of the combination", Kind::whole, {}});
    columns.push_back({"sample", "1", "number of the sample", Kind::whole, {}});
  }
  std::set<std::string> taken;
  for (const auto& input : cases::input_columns(plan)) {
    const std::string path = "inputs/" + path_word(input.name, taken);
    if (!input.unit) {
      columns.push_back({path, "1", input.name, Kind::text, {}, input.role});
    } else {
      const std::string units = input.unit->empty() ? "1" : *input.unit;
      columns.push_back({path, units, input.name, Kind::number, {}, input.role});
    }
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
  for (const auto& input : case_inputs(plan, number)) {
    add(input.number, input.text);
  }
  for (const double value : answers.numbers) add(value);
  add(blank, answers.reason);
  return row;
}

}  // namespace thawline::solver::batch
