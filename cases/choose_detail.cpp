#include "cases/choose_detail.hpp"

#include <fmt/format.h>

#include <cmath>

#include "cases/input_error.hpp"
#include "cases/place_packs.hpp"

namespace thawline::cases {

namespace {

/// What makes columns too rough, as a clause; empty where they will do.
std::string why_section(const Case& c) {
  for (const Coolant& coolant : c.coolants) {
    if (lies_on_wall(coolant)) return fmt::format("'{}' lies on a wall", coolant.name);
    if (coolant.form == CoolantForm::loose) {
      return fmt::format("'{}' is loose and touches the walls", coolant.name);
    }
  }
  constexpr double far_along = 0.05;  // m
  if (reach_along_sides(c.box) > far_along) {
    return fmt::format("the liner ({}) carries heat along the walls",
                       std::get<SolidLayer>(c.box.sides.front()).material.name);
  }
  return {};
}

}  // namespace

double reach_along_sides(const Box& box) {
  constexpr double usual_film = 5;
  const auto& liner = std::get<SolidLayer>(box.sides.front());
  return std::sqrt(liner.material.conductivity_solid.at(283) * liner.thickness / usual_film);
}

DetailChoice choose_detail(const Case& c) {
  if (c.run.section.air_conductivity) {
    return {Detail::two_d, true, "only a section has air that conducts"};
  }
  const std::string why = why_section(c);
  if (why.empty()) return {Detail::one_d, true, "no coolant touches a wall"};
  try {
    (void)place_packs(c);
  } catch (const InputError& error) {
    return {Detail::one_d, false, error.sentence()};
  }
  return {Detail::two_d, true, why};
}

DetailChoice common_detail(const std::vector<DetailChoice>& choices) {
  DetailChoice common{Detail::one_d, true, "no coolant touches a wall in any case"};
  for (const DetailChoice& choice : choices) {
    if (!choice.fits) return {Detail::one_d, false, "in all cases alike, as " + choice.why};
    if (choice.detail == Detail::two_d && common.detail == Detail::one_d) {
      common = {Detail::two_d, true, "in all cases alike, as " + choice.why};
    }
  }
  return common;
}

const char* word_of(Detail detail) { return detail == Detail::two_d ? "2d" : "1d"; }

void settle_detail(Case& c, const DetailChoice& choice, bool names_accuracy) {
  c.run.detail = choice.detail;
  c.run.why_detail = choice.why;
  if (choice.detail == Detail::two_d && !names_accuracy) {
    c.run.accuracy = accuracy_of_chosen_section;
  }
}

std::string detail_line(Detail detail, std::optional<double> accuracy, const std::string& why) {
  std::string line = fmt::format("Detail: {}", word_of(detail));
  if (accuracy) line += fmt::format(", accuracy {:g} K", *accuracy);
  if (!why.empty()) line += fmt::format(" ({})", why);
  return line;
}

}  // namespace thawline::cases
