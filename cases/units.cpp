#include "cases/units.hpp"

#include <fmt/format.h>
#include <udunits2.h>

#include <charconv>
#include <cmath>
#include <memory>
#include <mutex>

#include "cases/input_error.hpp"

namespace thawline::cases {

namespace {

struct FreeSystem {
  void operator()(ut_system* system) const { ut_free_system(system); }
};
struct FreeUnit {
  void operator()(ut_unit* unit) const { ut_free(unit); }
};
struct FreeConverter {
  void operator()(cv_converter* converter) const { cv_free(converter); }
};
using Unit = std::unique_ptr<ut_unit, FreeUnit>;

const ut_system& unit_system() {
  static const std::unique_ptr<ut_system, FreeSystem> system = [] {
    ut_set_error_message_handler(ut_ignore);
    std::unique_ptr<ut_system, FreeSystem> read(ut_read_xml(nullptr));
    if (!read) {
      ut_status status = UT_SUCCESS;
      const char* file = ut_get_path_xml(nullptr, &status);
      throw InputError(
          fmt::format("{}: the units of UDUNITS-2 cannot be read; install libudunits2-data, or let "
                      "UDUNITS2_XML_PATH name the file",
                      file != nullptr ? file : "udunits2.xml"));
    }
    return read;
  }();
  return *system;
}

/// UDUNITS-2 is not made for several threads.
std::mutex& one_at_a_time() {
  static std::mutex mutex;
  return mutex;
}

Unit parse_unit(const std::string& text) {
  // UDUNITS-2 wants a mutable system pointer but does not change it when parsing.
  return Unit(ut_parse(const_cast<ut_system*>(&unit_system()), text.c_str(), UT_UTF8));
}

std::string_view trim(std::string_view text) {
  const auto first = text.find_first_not_of(" \t");
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

std::optional<double> convert_units(double value, const Unit& from, const Unit& to) {
  if (!from || !to || ut_are_convertible(from.get(), to.get()) == 0) return std::nullopt;
  const std::unique_ptr<cv_converter, FreeConverter> converter(
      ut_get_converter(from.get(), to.get()));
  if (!converter) return std::nullopt;
  const auto at = [&converter](double x) { return cv_convert_double(converter.get(), x); };
  // UDUNITS-2 also converts a unit into its reciprocal (h into 1/s) and takes logarithms.
  const double step = at(1) - at(0);
  if (!(std::abs(at(2) - at(1) - step) <= 1e-9 * std::abs(at(2)))) return std::nullopt;
  return at(value);
}

/// The number a text begins with (blanks and a plus sign before it are let pass), and what follows.
struct LeadingNumber {
  double number = 0;
  std::string_view rest;
  std::errc error{};
};

LeadingNumber leading_number(std::string_view text) {
  text = trim(text);
  if (text.starts_with('+')) text.remove_prefix(1);
  LeadingNumber leading;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), leading.number);
  leading.rest = trim(text.substr(static_cast<std::size_t>(end - text.data())));
  leading.error = error;
  if (error == std::errc{} && !std::isfinite(leading.number)) {
    leading.error = std::errc::result_out_of_range;
  }
  return leading;
}

/// A unit with an offset, such as degC, is no unit of a difference: twice it is not twice as much.
bool has_offset(const Unit& unit) {
  const Unit kelvin = parse_unit("K");
  const auto zero = convert_units(0, unit, kelvin);
  return zero && std::abs(*zero) > 0;
}

}  // namespace

std::optional<double> read_number(std::string_view text) {
  const LeadingNumber leading = leading_number(text);
  if (leading.error != std::errc{} || !leading.rest.empty()) return std::nullopt;
  return leading.number;
}

std::optional<double> convert(double value, const std::string& from, const std::string& to) {
  const std::lock_guard lock(one_at_a_time());
  return convert_units(value, parse_unit(from), parse_unit(to));
}

std::optional<WrittenNumber> written_number(std::string_view text) {
  const LeadingNumber leading = leading_number(text);
  if (leading.error != std::errc{}) return std::nullopt;
  const std::string unit(leading.rest);
  if (unit.size() > 60 || (!unit.empty() && !convert(1, unit, unit))) return std::nullopt;
  return WrittenNumber{leading.number, unit};
}

std::string written(double number, const std::string& unit) {
  return unit.empty() ? fmt::format("{}", number) : fmt::format("{} {}", number, unit);
}

std::optional<double> steps_in(const std::string& from, const std::string& to) {
  if (from.empty() && to.empty()) return 1;
  if (from.empty() || to.empty()) return std::nullopt;
  const auto zero = convert(0, from, to);
  const auto one = convert(1, from, to);
  if (!zero || !one) return std::nullopt;
  return *one - *zero;
}

bool has_shifted_zero(const std::string& unit) {
  const std::lock_guard lock(one_at_a_time());
  return has_offset(parse_unit(unit));
}

std::optional<std::string> which_ounces(std::string_view text) {
  const LeadingNumber leading = leading_number(text);
  if (leading.error != std::errc{}) return std::nullopt;
  if (leading.rest != "oz" && leading.rest != "ounce" && leading.rest != "ounces") {
    return std::nullopt;
  }
  const auto grams = convert(leading.number, "avoirdupois_ounce", "g");
  const auto millilitres = convert(leading.number, "US_fluid_ounce", "mL");
  if (!grams || !millilitres) return std::nullopt;
  return fmt::format(
      "'{}' may be a weight or a volume; write '{:.4g} g' for ounces of weight or '{:.4g} mL' for "
      "US "
      "fluid ounces",
      trim(text), *grams, *millilitres);
}

Quantity read_quantity(std::string_view text, const Dimension& dimension) {
  text = trim(text);
  if (text.size() > 80) {
    return {0, fmt::format("expected {} such as '{}', read {} characters of text", dimension.name,
                           dimension.example, text.size())};
  }
  const LeadingNumber leading = leading_number(text);
  if (leading.error == std::errc::invalid_argument) {
    return {0, fmt::format("'{}' is not a number with a unit; {} is written like '{}'", text,
                           dimension.name, dimension.example)};
  }
  if (leading.error != std::errc{}) {
    return {0, fmt::format("'{}' is not a finite number; {} is written like '{}'", text,
                           dimension.name, dimension.example)};
  }
  const std::string unit_text(leading.rest);
  if (unit_text.empty()) {
    return {0, fmt::format("'{}' has no unit; {} is written like '{}'", text, dimension.name,
                           dimension.example)};
  }
  if (unit_text.starts_with(',')) {
    return {0, fmt::format("'{}' has a comma; decimals take a point, as in '{}'", text,
                           dimension.example)};
  }
  if (unit_text.front() >= '0' && unit_text.front() <= '9' && !unit_text.starts_with("1/")) {
    return {0, fmt::format("'{}' holds two numbers; {} is written like '{}'", text, dimension.name,
                           dimension.example)};
  }
  if (std::string_view(dimension.name) == dimension::mass.name) {
    if (const auto doubt = which_ounces(text)) return {0, *doubt};
  }
  const std::lock_guard lock(one_at_a_time());
  const Unit unit = parse_unit(unit_text);
  if (!unit) {
    return {0, fmt::format("'{}' is not a known unit; {} is written like '{}'", unit_text,
                           dimension.name, dimension.example)};
  }
  if (std::string_view(dimension.name) == dimension::difference.name && has_offset(unit)) {
    return {0, fmt::format("'{}' is a temperature; a difference is written in kelvin, like '{}'",
                           text, dimension.example)};
  }
  const auto si = convert_units(leading.number, unit, parse_unit(dimension.si_unit));
  if (!si) {
    return {0, fmt::format("'{}' is not {}; expected a form like '{}'", text, dimension.name,
                           dimension.example)};
  }
  if (!std::isfinite(*si)) {
    return {0, fmt::format("'{}' is not a finite number; {} is written like '{}'", text,
                           dimension.name, dimension.example)};
  }
  return {*si, {}};
}

}  // namespace thawline::cases
