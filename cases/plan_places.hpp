#pragma once

#include <optional>
#include <set>
#include <string>
#include <vector>

#include "cases/entry.hpp"
#include "cases/read_plan.hpp"

namespace thawline::cases {

/// The base case as the entries of a plan reach into it while they are read: follows their paths,
/// tries their values, and keeps names and places apart.
class PlanPlaces {
 public:
  /// Reads the base case named at `case_name` into `out`. Throws InputError.
  PlanPlaces(const Entry& case_name, const std::string& material_folder, ReadPlan& out);

  [[nodiscard]] const YAML::Node& tree() const { return base_->tree(); }
  /// The base case with values put in. Throws InputError.
  [[nodiscard]] Case read_with(const std::vector<Setting>& settings) const {
    return base_->read_with(settings, out_.library);
  }

  /// The place words such as `box.wall.2.thickness` name; `.value` is added where one is meant.
  [[nodiscard]] CasePath read_path(const Entry& of);
  /// The same for a place that changes from case to case, which may stand in a plan only once.
  [[nodiscard]] CasePath read_own_path(const Entry& of);
  /// The places read by `read_own_path` so far.
  [[nodiscard]] const std::vector<CasePath>& own() const { return own_; }

  /// The `name` of an entry, or `without`; refuses one that stands in the plan already.
  [[nodiscard]] std::string read_name(const Entry& entry, const std::string& without);
  /// Refuses a name that stands in the plan already; told at `at`.
  [[nodiscard]] std::string take_name(const Entry& at, const std::string& name);
  /// Refuses a value the reader cannot make out at this place. Out of range is no matter here: that
  /// fails the case alone.
  void try_value(const Entry& entry, const CasePath& path, const WrittenValue& value) const;

 private:
  void take_material(const Entry& of, const std::string& words);
  void check_missing_key(const Entry& of, const FoundPath& found) const;

  const std::string& material_folder_;
  ReadPlan& out_;
  std::optional<BaseCase> base_;
  std::vector<CasePath> own_;
  std::set<std::string> names_;
};

/// Refuses a place that is one of `others` or lies inside or around one.
void refuse_overlap(const Entry& of, const CasePath& path, const std::vector<CasePath>& others);

/// The number an entry holds, with its unit or without.
[[nodiscard]] WrittenNumber read_number_at(const Entry& entry);

/// The number in another unit; a unit that does not match is told at `entry`.
[[nodiscard]] double number_in(const Entry& entry, const WrittenNumber& number,
                               const std::string& unit);

/// A tree on one line.
[[nodiscard]] std::string flow_yaml(const YAML::Node& node);

/// What an entry holds, to be put elsewhere.
[[nodiscard]] WrittenValue written_value(const Entry& entry);

/// Refuses anything but a list.
void need_list(const Entry& entry);

/// Refuses what brings the plan over the most cases it may ask for, told at `last`.
void check_count(const Entry& last, const Plan& plan);

}  // namespace thawline::cases
