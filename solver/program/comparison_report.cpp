#include "solver/program/comparison_report.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cases/input_error.hpp"
#include "solver/program/table_rows.hpp"

namespace thawline::program {

namespace {

using cases::Comparison;
using cases::Contender;
using cases::EqualBy;
using nlohmann::ordered_json;

std::string amount_text(const Comparison& compare) {
  switch (compare.by) {
    case EqualBy::volume:
      return fmt::format("equal volume without voids, {:.3g} L", 1000 * compare.amount);
    case EqualBy::mass:
      return fmt::format("equal mass, {:.3g} kg", compare.amount);
    case EqualBy::cost:
      return fmt::format("equal cost, {:.6g}", compare.amount);
    case EqualBy::frozen_energy:
      break;
  }
  return fmt::format("equal frozen energy, {:.4g} kJ", compare.amount / 1000);
}

/// Why the base case does not take a contender; empty when it does.
std::string misfit(const cases::ReadPlan& read, const Contender& contender) {
  const cases::BaseCase base = cases::base_case(read.plan);
  try {
    (void)base.read_with({{read.plan.compare->path, contender.entry}}, read.library);
  } catch (const cases::InputError& error) {
    return error.sentence();
  }
  return {};
}

/// How long a contender holds by each limit; nothing where more than the contender varies.
std::string holds_text(const cases::ReadPlan& read, solver::batch::TableFile& table,
                       std::size_t place) {
  const bool alone = case_count(read.plan) == contenders_of(read.plan) && !read.plan.find;
  if (!alone || table.head().parts > 1) return {};
  std::string text;
  const auto row = table.row(place);
  for (const auto& name : limit_names(table.head())) {
    const std::string path = "limits/" + name;
    text +=
        fmt::format("  {:>14}", held_text(row.numbers[column_at(table.head(), path + "/outcome")],
                                          row.numbers[column_at(table.head(), path + "/held")]));
  }
  return text;
}

}  // namespace

std::string comparison_text(const cases::ReadPlan& read, solver::batch::TableFile& table) {
  const Comparison& compare = *read.plan.compare;
  std::string text =
      fmt::format("Coolants in the place of '{}', {}\n", compare.path.text(), amount_text(compare));
  std::size_t width = 9;
  for (const auto& contender : compare.contenders) width = std::max(width, contender.name.size());
  text += fmt::format("  {:{}}  {:>8}  {:>8}  {:>8}", "", width, "kg", "L", "kg/m3");
  if (compare.until) text += fmt::format("  {:>8}", "kJ");
  if (has_prices(compare)) text += fmt::format("  {:>8}", "cost");
  const bool alone = !holds_text(read, table, 0).empty();
  for (const auto& name : limit_names(table.head())) {
    if (alone) text += fmt::format("  {:>14}", name.substr(0, 14));
  }
  text += "\n";
  std::string notes;
  for (std::size_t i = 0; i < compare.contenders.size(); ++i) {
    const Contender& contender = compare.contenders[i];
    const auto& coolant = contender.coolant;
    text += fmt::format("  {:{}}  {:8.3f}  {:8.3f}  {:8.1f}", contender.name, width, coolant.mass,
                        1000 * volume_of(coolant), coolant.material.density);
    if (compare.until) {
      text += fmt::format("  {:8.1f}", coolant.mass * contender.taken_up / 1000);
    }
    if (has_prices(compare)) text += fmt::format("  {:8.2f}", coolant.mass * *contender.price);
    text += holds_text(read, table, i) + "\n";
    if (coolant.form == cases::CoolantForm::loose) {
      notes += fmt::format("  {} fills {:.3f} L of the box with the voids between its pieces\n",
                           contender.name, 1000 * space_of(coolant));
    }
    const std::string problem = misfit(read, contender);
    if (!problem.empty()) notes += fmt::format("  {} does not fit: {}\n", contender.name, problem);
    if (compare.until && coolant.material.melts() &&
        liquidus_of(coolant.material) > *compare.until) {
      notes += fmt::format("  {} is not all liquid at {:.1f} degC yet\n", contender.name,
                           *compare.until - 273.15);
    }
  }
  text += "  L and kg/m3 are those of the coolant without voids (the material's 'density').\n";
  if (compare.until) {
    text += fmt::format("  kJ are what it takes up from its start to {:.1f} degC.\n",
                        *compare.until - 273.15);
  }
  return text + notes;
}

ordered_json comparison_json(const cases::ReadPlan& read) {
  const Comparison& compare = *read.plan.compare;
  ordered_json json{{"of", compare.path.text()}, {"contenders", ordered_json::array()}};
  for (const auto& contender : compare.contenders) {
    const auto& coolant = contender.coolant;
    ordered_json entry{{"name", contender.name},
                       {"material", coolant.material.name},
                       {"mass_kg", coolant.mass},
                       {"volume_m3", volume_of(coolant)},
                       {"density_kg_m3", coolant.material.density},
                       {"start_K", coolant.start}};
    if (compare.until) entry["frozen_energy_J"] = coolant.mass * contender.taken_up;
    if (contender.price) entry["cost"] = coolant.mass * *contender.price;
    const std::string problem = misfit(read, contender);
    entry["fits"] = problem.empty();
    if (!problem.empty()) entry["reason"] = problem;
    json["contenders"].push_back(entry);
  }
  return json;
}

}  // namespace thawline::program
