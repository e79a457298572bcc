#include "cases/plan.hpp"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <cmath>

#include "cases/latin_hypercube.hpp"
#include "cases/saltelli_points.hpp"

namespace thawline::cases {

BaseCase base_case(const Plan& plan) {
  return {plan.base, plan.taken, plan.detail ? std::optional(plan.detail->detail) : std::nullopt};
}

std::vector<const Varied*> varied_places(const Plan& plan) {
  std::vector<const Varied*> places;
  for (const auto& together : plan.vary) {
    for (const auto& varied : together) places.push_back(&varied);
  }
  return places;
}

bool has_prices(const Comparison& compare) {
  return std::all_of(compare.contenders.begin(), compare.contenders.end(),
                     [](const Contender& contender) { return contender.price.has_value(); });
}

bool has_pieces(const Comparison& compare) {
  return std::any_of(
      compare.contenders.begin(), compare.contenders.end(),
      [](const Contender& contender) { return contender.coolant.pieces.has_value(); });
}

namespace {

void add_columns(const Comparison& compare, std::vector<InputColumn>& columns) {
  columns.push_back({compare.name, std::nullopt, "contender"});
  columns.push_back({compare.name + " mass", "kg", "amount"});
  columns.push_back({compare.name + " volume", "L", "amount"});
  columns.push_back({compare.name + " packed", "L", "amount"});
  if (has_pieces(compare)) {
    columns.push_back({compare.name + " pieces", "", "amount"});
    columns.push_back({compare.name + " mismatch", "%", "amount"});
  }
  if (compare.until) columns.push_back({compare.name + " frozen energy", "kJ", "amount"});
  if (has_prices(compare)) columns.push_back({compare.name + " cost", "", "amount"});
}

void add_contender(const Comparison& compare, std::size_t place, std::vector<CaseInput>& inputs) {
  const Contender& contender = compare.contenders[place];
  const double mass = contender.coolant.mass;
  inputs.push_back({Setting{compare.path, contender.entry}, contender.renamed, 0, contender.name});
  const auto add = [&inputs](double number) { inputs.push_back({std::nullopt, {}, number, ""}); };
  add(mass);
  add(1000 * volume_of(contender.coolant));
  add(1000 * space_of(contender.coolant));
  if (has_pieces(compare)) {
    const auto& pieces = contender.coolant.pieces;
    add(pieces ? pieces->count : 0);
    add(pieces ? 100 * (mass / pieces->asked - 1) : 0);
  }
  if (compare.until) add(mass * contender.taken_up / 1000);
  if (has_prices(compare)) add(mass * *contender.price);
}

}  // namespace

std::vector<InputColumn> input_columns(const Plan& plan) {
  std::vector<InputColumn> columns;
  for (const auto* varied : varied_places(plan)) {
    columns.push_back({varied->name, varied->unit, "varied"});
  }
  if (plan.compare) add_columns(*plan.compare, columns);
  if (plan.tolerances) {
    for (const auto& input : plan.tolerances->inputs)
      columns.push_back({input.name, input.unit, "drawn"});
    if (plan.tolerances->fitted) {
      for (const auto& value : plan.tolerances->fitted->values)
        columns.push_back({value.name, value.unit, "drawn"});
    }
  }
  return columns;
}

std::uint64_t steps_of(const Together& together) {
  const auto& values = together.front().values;
  if (const auto* range = std::get_if<EvenRange>(&values)) return range->steps;
  return std::get<std::vector<WrittenValue>>(values).size();
}

std::uint64_t samples_of(const Plan& plan) {
  if (!plan.tolerances) return 1;
  const auto& tolerances = *plan.tolerances;
  return tolerances.samples * (tolerances.ranking ? tolerances.inputs.size() + 2 : 1);
}

std::size_t drawn_columns(const Plan& plan) {
  if (!plan.tolerances) return 0;
  const auto& tolerances = *plan.tolerances;
  return tolerances.inputs.size() + (tolerances.fitted ? tolerances.fitted->values.size() : 0);
}

std::uint64_t contenders_of(const Plan& plan) {
  return plan.compare ? plan.compare->contenders.size() : 1;
}

std::uint64_t case_count(const Plan& plan) {
  std::uint64_t count = samples_of(plan) * contenders_of(plan);
  for (const auto& together : plan.vary) count *= steps_of(together);
  return count;
}

namespace {

CaseInput varied_input(const Varied& varied, std::uint64_t step) {
  if (const auto* range = std::get_if<EvenRange>(&varied.values)) {
    const auto last = static_cast<double>(range->steps - 1);
    const auto at = static_cast<double>(step);
    const double number = (range->from * (last - at) + range->to * at) / last;
    return {Setting{varied.path, {written(number, *varied.unit), false}}, {}, number, ""};
  }
  const auto& value =
      std::get<std::vector<WrittenValue>>(varied.values)[static_cast<std::size_t>(step)];
  CaseInput input{Setting{varied.path, value}, {}, 0, value.text};
  if (varied.unit) {
    const auto read = written_number(value.text);
    input.number = read->unit == *varied.unit ? read->number
                                              : *convert(read->number, read->unit, *varied.unit);
  }
  return input;
}

double drawn(const Tolerance& tolerance, double centre, double u) {
  if (const auto* between = std::get_if<Between>(&tolerance.spread)) {
    return between->low + u * (between->high - between->low);
  }
  if (const auto* even = std::get_if<EvenSpread>(&tolerance.spread)) {
    return centre + (2 * u - 1) * even->half_width * (even->share ? std::abs(centre) : 1);
  }
  const auto& normal = std::get<NormalSpread>(tolerance.spread);
  const double deviation = normal.deviation * (normal.share ? std::abs(centre) : 1);
  return centre + deviation * quantile(boost::math::normal(), u);
}

CaseInput drawn_input(const Tolerance& tolerance, double value) {
  const WrittenValue put = tolerance.table.empty()
                               ? WrittenValue{written(value, tolerance.unit), false}
                               : scaled(tolerance.table, value);
  return {Setting{tolerance.path, put}, {}, value, ""};
}

/// Values learnt together: standard normal numbers, one sequence each behind those of `before`
/// inputs, made a joint draw by the root of the covariance and kept within the bounds of the fit.
void add_fitted(const Tolerances& tolerances, std::size_t before, std::uint64_t sample,
                std::vector<CaseInput>& inputs) {
  const FittedDraw& fitted = *tolerances.fitted;
  for (std::size_t i = 0; i < fitted.values.size(); ++i) {
    double natural = fitted.centre[i];
    for (std::size_t k = 0; k < fitted.root[i].size(); ++k) {
      const double u = latin_hypercube(tolerances.seed, before + k, tolerances.samples, sample);
      natural += fitted.root[i][k] * quantile(boost::math::normal(), u);
    }
    const double value = fitted.logarithmic[i] != 0 ? std::exp(natural) : natural;
    inputs.push_back(
        drawn_input(fitted.values[i], std::clamp(value, fitted.from[i], fitted.to[i])));
  }
}

void add_drawn(const Tolerances& tolerances, std::uint64_t sample, std::vector<CaseInput>& inputs) {
  const std::size_t count = tolerances.inputs.size();
  std::vector<double> u;
  if (tolerances.ranking) {
    u = saltelli_point(tolerances.seed, count, sample);
  } else {
    for (std::size_t i = 0; i < count; ++i) {
      u.push_back(latin_hypercube(tolerances.seed, i, tolerances.samples, sample));
    }
  }
  for (std::size_t i = 0; i < count; ++i) {
    const Tolerance& tolerance = tolerances.inputs[i];
    const double centre = tolerance.around ? inputs[*tolerance.around].number : tolerance.centre;
    const double value = drawn(tolerance, centre, u[i]);
    inputs.push_back(drawn_input(tolerance, value));
  }
  if (tolerances.fitted) add_fitted(tolerances, count, sample, inputs);
}

}  // namespace

std::vector<CaseInput> case_inputs(const Plan& plan, std::uint64_t number) {
  const std::uint64_t samples = samples_of(plan);
  const std::uint64_t contenders = contenders_of(plan);
  const std::uint64_t sample = (number - 1) % samples;
  const std::uint64_t contender = (number - 1) / samples % contenders;
  std::uint64_t combination = (number - 1) / samples / contenders;
  std::vector<std::uint64_t> step(plan.vary.size());
  for (std::size_t i = plan.vary.size(); i-- > 0;) {
    step[i] = combination % steps_of(plan.vary[i]);
    combination /= steps_of(plan.vary[i]);
  }
  std::vector<CaseInput> inputs;
  for (std::size_t i = 0; i < plan.vary.size(); ++i) {
    for (const auto& varied : plan.vary[i]) inputs.push_back(varied_input(varied, step[i]));
  }
  if (plan.compare) add_contender(*plan.compare, static_cast<std::size_t>(contender), inputs);
  if (plan.tolerances) add_drawn(*plan.tolerances, sample, inputs);
  return inputs;
}

std::vector<Setting> settings_of(const std::vector<CaseInput>& inputs) {
  std::vector<Setting> settings;
  settings.reserve(inputs.size());
  for (const auto& input : inputs) {
    if (input.setting) settings.push_back(*input.setting);
    settings.insert(settings.end(), input.also.begin(), input.also.end());
  }
  return settings;
}

}  // namespace thawline::cases
