#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "cases/choose_detail.hpp"
#include "cases/scaled_table.hpp"
#include "cases/varied_case.hpp"

/// A plan as plain data: a base case and what varies in it. `read_plan` fills it.
namespace thawline::cases {

/// Most cases one plan may ask for.
inline constexpr std::uint64_t most_cases = 10'000'000;

/// Evenly spaced numbers, both ends included.
struct EvenRange {
  double from = 0, to = 0;
  std::uint64_t steps = 2;
};

/// One place of the base case and the values it takes. The numbers of a range are in `unit`.
struct Varied {
  CasePath path;
  std::string name;                 ///< of its column
  std::optional<std::string> unit;  ///< of its column ("" for a plain number); empty: a text
  std::variant<std::vector<WrittenValue>, EvenRange> values;
};

/// Values that step together; one alone as a rule.
using Together = std::vector<Varied>;

/// Around the value in the case: its standard deviation.
struct NormalSpread {
  double deviation = 0;
  bool share = false;  ///< of the value, else in its unit
};
/// Evenly within ± a half width around the value in the case.
struct EvenSpread {
  double half_width = 0;
  bool share = false;
};
/// Evenly between two values.
struct Between {
  double low = 0, high = 0;
};

/// A place whose value is not exactly known; of a table, the factor all its values are multiplied
/// by.
struct Tolerance {
  CasePath path;
  std::string name;
  std::string unit;                   ///< "" for a plain number
  double centre = 0;                  ///< in `unit`, of the base case
  std::optional<std::size_t> around;  ///< index among all varied places: the centre is its value
  std::variant<NormalSpread, EvenSpread, Between> spread;
  std::vector<WrittenRow> table;  ///< that is multiplied; empty for a single number
};

/// Values that a fit learnt together, drawn together.
struct FittedDraw {
  std::string file;               ///< as the plan names it
  std::vector<Tolerance> values;  ///< path, name, unit and table; no spread of their own
  std::vector<char> logarithmic;
  std::vector<double> centre, from, to;   ///< of the values: natural scale, bounds in their units
  std::vector<std::vector<double>> root;  ///< by value, over all standard normal numbers drawn
};

struct Tolerances {
  std::uint64_t samples = 1;
  std::uint64_t seed = 1;
  /// Cases are drawn so that inputs can be ranked: `samples` rows of (inputs + 2) cases, see
  /// saltelli_points.hpp; else a Latin hypercube of `samples` cases.
  bool ranking = false;
  std::vector<Tolerance> inputs;
  std::optional<FittedDraw> fitted;  ///< behind the inputs
};

/// What coolants are put on equal terms by.
/// Volume is displacement, bulk the volume as packed with the voids between loose pieces.
enum class EqualBy { volume, bulk, mass, frozen_energy, cost };

/// One coolant of a comparison, packed in the place of the base case's.
struct Contender {
  std::string name;
  WrittenValue entry;            ///< of the coolant, its amount worked out
  std::vector<Setting> renamed;  ///< what calls the coolant by its name, so that it goes by its own
  Coolant coolant;               ///< the same as read
  double taken_up = 0;           ///< J/kg, from its start to `Comparison::until`
  std::optional<double> price;   ///< for a kilogram
};

/// Coolants on equal terms: each takes the place of one coolant of the base case in turn.
struct Comparison {
  CasePath path;
  std::string name;  ///< of its column
  EqualBy by = EqualBy::volume;
  double amount = 0;            ///< the same for all: m3 as packed, kg, J, or money
  std::optional<double> until;  ///< K; frozen energy counts up to here
  std::vector<Contender> contenders;
};

/// True when every contender has its price.
[[nodiscard]] bool has_prices(const Comparison& compare);
/// True when any contender comes in whole pieces.
[[nodiscard]] bool has_pieces(const Comparison& compare);

/// A quantity whose value is sought that makes a limit hold for a wanted time.
struct Sought {
  CasePath path;
  std::string name;
  std::string unit;  ///< of the numbers below; "" for plain ones
  double from = 0, to = 0;
  double to_within = 0;   ///< how near the value is to be found
  std::size_t limit = 0;  ///< index in the case's limits
  double hold = 0;        ///< s
};

struct Plan {
  std::string title;
  std::string file, text;  ///< as named by the user, as read
  SourceText base;
  std::vector<std::string> taken;        ///< library materials the paths reach, as YAML
  std::vector<std::string> trace_files;  ///< named anywhere in the plan's cases, and a fit's
  std::vector<Together> vary;            ///< the last varies fastest
  std::optional<Comparison> compare;     ///< varies faster still
  std::optional<Tolerances> tolerances;  ///< and this the fastest
  std::optional<Sought> find;            ///< in every case
  bool keep_histories = false;
  std::optional<DetailChoice> detail;  ///< of all cases; empty where they name their own
};

/// The base case with the materials the plan's paths reach and the detail of all its cases.
[[nodiscard]] BaseCase base_case(const Plan& plan);

/// One value a case of a plan differs by, or one that follows from such, and what its column says.
struct CaseInput {
  std::optional<Setting> setting;
  std::vector<Setting> also;  ///< what goes with it
  double number = 0;          ///< in the column's unit; meaningless for a text
  std::string text;           ///< meaningless for a number
};

/// All varied places in the order of the plan, then the compared coolant with its amount, then the
/// tolerances, by name and unit.
struct InputColumn {
  std::string name;
  std::optional<std::string> unit;
  const char* role = "varied";  ///< or "contender", "amount" (of a contender), "drawn"
};
[[nodiscard]] std::vector<InputColumn> input_columns(const Plan& plan);

/// The places under `vary` in their order.
[[nodiscard]] std::vector<const Varied*> varied_places(const Plan& plan);

/// How many columns hold what is drawn: 0 without tolerances.
[[nodiscard]] std::size_t drawn_columns(const Plan& plan);

/// How many steps values stepping together take.
[[nodiscard]] std::uint64_t steps_of(const Together& together);

/// Coolants compared in each combination: 1 without a comparison.
[[nodiscard]] std::uint64_t contenders_of(const Plan& plan);

/// Samples of each combination and contender: 1 without tolerances.
[[nodiscard]] std::uint64_t samples_of(const Plan& plan);

/// How many cases the plan asks for; at most `most_cases` once it was read.
[[nodiscard]] std::uint64_t case_count(const Plan& plan);

/// The inputs of case `number` (from 1), as `input_columns`. Every combination meets the same
/// samples, so that combinations differ by what is varied and not by chance.
[[nodiscard]] std::vector<CaseInput> case_inputs(const Plan& plan, std::uint64_t number);

/// The settings alone.
[[nodiscard]] std::vector<Setting> settings_of(const std::vector<CaseInput>& inputs);

}  // namespace thawline::cases
