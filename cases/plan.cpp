#include "cases/plan.hpp"

#include <boost/math/distributions/normal.hpp>
#include <cmath>

#include "cases/latin_hypercube.hpp"

namespace thawline::cases {

std::vector<InputColumn> input_columns(const Plan& plan) {
  std::vector<InputColumn> columns;
  for (const auto& together : plan.vary) {
    for (const auto& varied : together) columns.push_back({varied.name, varied.unit});
  }
  if (plan.tolerances) {
    for (const auto& input : plan.tolerances->inputs) columns.push_back({input.name, input.unit});
  }
  return columns;
}

std::uint64_t steps_of(const Together& together) {
  const auto& values = together.front().values;
  if (const auto* range = std::get_if<EvenRange>(&values)) return range->steps;
  return std::get<std::vector<WrittenValue>>(values).size();
}

std::uint64_t samples_of(const Plan& plan) {
  return plan.tolerances ? plan.tolerances->samples : 1;
}

std::uint64_t case_count(const Plan& plan) {
  std::uint64_t count = samples_of(plan);
  for (const auto& together : plan.vary) count *= steps_of(together);
  return count;
}

namespace {

CaseInput varied_input(const Varied& varied, std::uint64_t step) {
  if (const auto* range = std::get_if<EvenRange>(&varied.values)) {
    const auto last = static_cast<double>(range->steps - 1);
    const auto at = static_cast<double>(step);
    const double number = (range->from * (last - at) + range->to * at) / last;
    return {{varied.path, {written(number, *varied.unit), false}}, number};
  }
  const auto& value =
      std::get<std::vector<WrittenValue>>(varied.values)[static_cast<std::size_t>(step)];
  CaseInput input{{varied.path, value}, 0};
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

}  // namespace

std::vector<CaseInput> case_inputs(const Plan& plan, std::uint64_t number) {
  const std::uint64_t samples = samples_of(plan);
  const std::uint64_t sample = (number - 1) % samples;
  std::uint64_t combination = (number - 1) / samples;
  std::vector<std::uint64_t> step(plan.vary.size());
  for (std::size_t i = plan.vary.size(); i-- > 0;) {
    step[i] = combination % steps_of(plan.vary[i]);
    combination /= steps_of(plan.vary[i]);
  }
  std::vector<CaseInput> inputs;
  for (std::size_t i = 0; i < plan.vary.size(); ++i) {
    for (const auto& varied : plan.vary[i]) inputs.push_back(varied_input(varied, step[i]));
  }
  if (!plan.tolerances) return inputs;
  const auto& tolerances = *plan.tolerances;
  for (std::size_t i = 0; i < tolerances.inputs.size(); ++i) {
    const Tolerance& tolerance = tolerances.inputs[i];
    const double u = latin_hypercube(tolerances.seed, i, samples, sample);
    const double centre = tolerance.around ? inputs[*tolerance.around].number : tolerance.centre;
    const double value = drawn(tolerance, centre, u);
    inputs.push_back({{tolerance.path, {written(value, tolerance.unit), false}}, value});
  }
  return inputs;
}

std::vector<Setting> settings_of(const std::vector<CaseInput>& inputs) {
  std::vector<Setting> settings;
  settings.reserve(inputs.size());
  for (const auto& input : inputs) settings.push_back(input.setting);
  return settings;
}

}  // namespace thawline::cases
