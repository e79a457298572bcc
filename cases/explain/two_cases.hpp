#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "cases/choose_detail.hpp"
#include "cases/read_case.hpp"

namespace thawline::cases {

/// A group of inputs in which two cases differ.
struct InputGroup {
  std::string name;     ///< "start", "box", "'gel': amount"
  std::string changes;  ///< "start -18 degC -> -5 degC"
};

/// Two case files, and the cases between them: the first with some groups of inputs from the
/// second.
///
/// Groups: box, weather (surroundings), happenings, limits, numerics (of the run, but for its
/// duration), material data (of materials both define by one name); of each coolant start, amount,
/// shape (form, thickness, layers, melt water), material, place, contact; of each payload start and
/// the rest of it. Coolants and payloads go by their place in the list; what only one case has is a
/// group of its own. Where one coolant is loose and the other is not, place belongs to shape. All
/// cases run as long as the longer one, and go by the names of the first. An object serves one
/// thread at a time.
class TwoCases {
 public:
  /// Throws InputError where either is no YAML.
  TwoCases(const SourceText& first, const SourceText& second);

  [[nodiscard]] const std::vector<InputGroup>& groups() const { return groups_; }
  /// One detail for all cases between the two, as details differ by more than what is explained:
  /// both, and those that differ from either in one group, are looked at. Empty where either names
  /// its detail.
  [[nodiscard]] std::optional<DetailChoice> common_detail(double duration,
                                                          const MaterialShelf& shelf) const;
  /// Puts a detail into all cases between, with the accuracy that goes with it.
  void take_detail(Detail detail);
  /// The case with the groups of the bits of `subset` from the second. `duration` in s. Throws
  /// InputError where it cannot be.
  [[nodiscard]] Case between(std::uint64_t subset, double duration,
                             const MaterialShelf& shelf) const;

 private:
  /// A value to be put at a key, or to be taken away; `list` and `entry` name an entry of a list.
  struct Change {
    std::string list;
    std::size_t entry = 0;
    std::string key;   ///< empty: the whole entry
    YAML::Node value;  ///< null: taken away
  };
  void name_alike(const std::string& list);
  void look_at_key(const std::string& key, const std::string& group);
  void look_at_materials();
  void look_at_run();
  void look_at_list(const std::string& list);
  void look_at_coolant(std::size_t i, const std::string& prefix);
  void look_at_payload(std::size_t i, const std::string& prefix);
  /// Adds those of `keys` that differ in one entry of a list as a group.
  void add_keys(const std::string& name, const std::string& list, std::size_t entry,
                const std::vector<std::string>& keys);
  void add_group(const std::string& name, const std::string& words, std::vector<Change> changes);

  SourceText source_;
  YAML::Node first_, second_;
  std::vector<InputGroup> groups_;
  std::vector<std::vector<Change>> changes_;  ///< as `groups_`
};

}  // namespace thawline::cases
