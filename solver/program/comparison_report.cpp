#include "solver/program/comparison_report.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cases/input_error.hpp"
#include "solver/results/freeze_coolants.hpp"

namespace thawline::program {

namespace {

using cases::Comparison;
using cases::Contender;
using cases::EqualBy;
using nlohmann::ordered_json;

std::string amount_text(const Comparison& compare) {
  switch (compare.by) {
    case EqualBy::volume:
      return fmt::format("equal volume by displacement (without voids), {:.3g} L",
                         1000 * compare.amount);
    case EqualBy::bulk:
      return fmt::format("equal volume as packed (with the voids between loose pieces), {:.3g} L",
                         1000 * compare.amount);
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

/// How many whole pieces, and how far they are off what was asked.
std::string pieces_columns(const cases::Coolant& coolant) {
  if (!coolant.pieces) return fmt::format("  {:>8}  {:>6}", "", "");
  return fmt::format("  {:8}  {:+6.1f}", coolant.pieces->count,
                     100 * (coolant.mass / coolant.pieces->asked - 1));
}

/// How a contender comes out of its freezer.
std::string freezer_note(const Contender& contender) {
  if (!contender.coolant.freezing) return {};
  cases::Coolant settled = contender.coolant;
  solver::settle_start(settled);
  const cases::Freezing& f = *settled.freezing;
  return fmt::format(
      "  {}: {:.0f} % liquid as it comes out of the freezer, {:.1f} degC on average\n",
      contender.name, 100 * f.liquid, f.temperature - 273.15);
}

}  // namespace

std::string comparison_text(const cases::ReadPlan& read) {
  const Comparison& compare = *read.plan.compare;
  std::string text =
      fmt::format("Coolants in the place of '{}', {}\n", compare.path.text(), amount_text(compare));
  std::size_t width = 9;
  for (const auto& contender : compare.contenders) width = std::max(width, contender.name.size());
  text +=
      fmt::format("  {:{}}  {:>8}  {:>8}  {:>8}  {:>8}", "", width, "kg", "L", "packed L", "kg/m3");
  if (has_pieces(compare)) text += fmt::format("  {:>8}  {:>6}", "pieces", "off %");
  if (compare.until) text += fmt::format("  {:>8}", "kJ");
  if (has_prices(compare)) text += fmt::format("  {:>8}", "cost");
  text += "\n";
  std::string notes;
  for (const Contender& contender : compare.contenders) {
    const auto& coolant = contender.coolant;
    text += fmt::format("  {:{}}  {:8.3f}  {:8.3f}  {:8.3f}  {:8.1f}", contender.name, width,
                        coolant.mass, 1000 * volume_of(coolant), 1000 * space_of(coolant),
                        coolant.material.density);
    if (has_pieces(compare)) text += pieces_columns(coolant);
    if (compare.until) {
      text += fmt::format("  {:8.1f}", coolant.mass * contender.taken_up / 1000);
    }
    if (has_prices(compare)) text += fmt::format("  {:8.2f}", coolant.mass * *contender.price);
    text += "\n";
    notes += freezer_note(contender);
    if (coolant.pieces) {
      notes += fmt::format("  {}: {:.3f} L of liquid to freeze\n", contender.name,
                           1000 * liquid_volume_of(coolant));
    }
    const std::string problem = misfit(read, contender);
    if (!problem.empty()) notes += fmt::format("  {} does not fit: {}\n", contender.name, problem);
    if (compare.until && coolant.material.melts() &&
        liquidus_of(coolant.material) > *compare.until) {
      notes += fmt::format("  {} is not all liquid at {:.1f} degC yet\n", contender.name,
                           *compare.until - 273.15);
    }
  }
  text +=
      "  L and kg/m3 are those of the coolant without voids (displacement, by the material's "
      "'density');\n  packed L what it takes up of the box, with the voids between loose pieces.\n";
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
    ordered_json entry{
        {"name", contender.name},         {"material", coolant.material.name},
        {"mass_kg", coolant.mass},        {"volume_m3", volume_of(coolant)},
        {"packed_m3", space_of(coolant)}, {"density_kg_m3", coolant.material.density},
        {"start_K", coolant.start}};
    if (coolant.pieces) {
      entry["pieces"] = {{"count", coolant.pieces->count},
                         {"each_kg", coolant.pieces->each},
                         {"asked_kg", coolant.pieces->asked},
                         {"liquid_m3", liquid_volume_of(coolant)}};
    }
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
