#include "cases/choose_detail.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cases/input_error.hpp"
#include "cases/place_packs.hpp"

namespace thawline::cases {

DetailChoice choose_detail(const Case& c) {
  if (c.run.section.air_conductivity) {
    return {Detail::two_d, true, "only a section has air that conducts"};
  }
  const auto pack = std::find_if(c.coolants.begin(), c.coolants.end(), lies_on_wall);
  if (pack == c.coolants.end()) {
    return {Detail::one_d, true, "no pack lies on a wall"};
  }
  try {
    (void)place_packs(c);
  } catch (const InputError& error) {
    return {Detail::one_d, false, error.sentence()};
  }
  return {Detail::two_d, true, fmt::format("'{}' lies on a wall", pack->name)};
}

DetailChoice common_detail(const std::vector<DetailChoice>& choices) {
  DetailChoice common{Detail::one_d, true, "no pack lies on a wall in any case"};
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
