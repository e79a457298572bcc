#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace thawline::cases {

/// A kind of quantity the case file holds: its SI unit for UDUNITS-2 and how a person writes it.
struct Dimension {
  const char* name;     ///< for messages, such as "length"
  const char* si_unit;  ///< UDUNITS-2 spelling
  const char* example;  ///< the right form, such as "30 mm"
};

namespace dimension {
inline constexpr Dimension length{"a length", "m", "30 mm"};
inline constexpr Dimension volume{"a volume", "m3", "0.33 L"};
inline constexpr Dimension area{"an area", "m2", "0.05 m2"};
inline constexpr Dimension energy{"an energy", "J", "1.4 MJ"};
inline constexpr Dimension mass{"a mass", "kg", "1.2 kg"};
inline constexpr Dimension time{"a time", "s", "48 h"};
inline constexpr Dimension rate{"a rate", "s-1", "0.5 1/h"};
inline constexpr Dimension speed{"a speed", "m/s", "3 m/s"};
inline constexpr Dimension temperature{"a temperature", "K", "4 degC"};
inline constexpr Dimension difference{"a temperature difference", "K", "6 K"};
inline constexpr Dimension density{"a density", "kg/m3", "917 kg/m3"};
inline constexpr Dimension heat_capacity{"a specific heat capacity", "J/kg/K", "4.2 kJ/kg/K"};
inline constexpr Dimension latent_heat{"a latent heat", "J/kg", "333.4 kJ/kg"};
inline constexpr Dimension conductivity{"a thermal conductivity", "W/m/K", "0.024 W/m/K"};
inline constexpr Dimension coefficient{"a heat transfer coefficient", "W/m2/K", "8 W/m2/K"};
inline constexpr Dimension conductance{"a conductance", "W/K", "0.02 W/K"};
}  // namespace dimension

/// What came of reading a quantity: a value in SI, or one sentence saying what is wrong.
struct Quantity {
  double value = 0;
  std::string problem;
};

/// Reads "NUMBER UNIT" with UDUNITS-2 and converts it to SI. Throws InputError only when UDUNITS-2
/// lacks its own units.
[[nodiscard]] Quantity read_quantity(std::string_view text, const Dimension& dimension);

/// An amount in ounces, of which there are those of weight and those of volume: both readings, to
/// be told apart by the writer. Empty for anything else.
[[nodiscard]] std::optional<std::string> which_ounces(std::string_view text);

/// Converts between two UDUNITS-2 unit strings; empty when they do not match.
[[nodiscard]] std::optional<double> convert(double value, const std::string& from,
                                            const std::string& to);

/// A number as a person wrote it, with its unit; empty unit for a plain number.
struct WrittenNumber {
  double number = 0;
  std::string unit;
};

/// Takes "30 mm" or "0.5" apart; empty when it is neither a plain number nor one with a known unit.
[[nodiscard]] std::optional<WrittenNumber> written_number(std::string_view text);

/// The number and unit as one text that reads back to the same bits.
[[nodiscard]] std::string written(double number, const std::string& unit);

/// How many `to` one step of `from` is, as in 1.8 degF a kelvin; empty when they do not match.
[[nodiscard]] std::optional<double> steps_in(const std::string& from, const std::string& to);

/// True for a unit whose zero is not that of its SI unit, such as degC.
[[nodiscard]] bool has_shifted_zero(const std::string& unit);

/// Reads a finite decimal number filling all of `text`; empty otherwise.
[[nodiscard]] std::optional<double> read_number(std::string_view text);

}  // namespace thawline::cases
