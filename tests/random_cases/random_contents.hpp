#pragma once

#include <yaml-cpp/yaml.h>

#include <string>
#include <vector>

#include "cases/read_material.hpp"
#include "random_cases/random_box.hpp"

namespace thawline::random_cases {

/// Draws coolants and payloads that fit into a box beside each other.
class ContentsDraw {
 public:
  /// `shelf` holds `own`, the names of the case's own materials, too. With `no_loose` no coolant is
  /// loose.
  ContentsDraw(Draw& draw, const Inside& inside, const cases::MaterialShelf& shelf,
               const std::vector<std::string>& own, bool no_loose);

  /// One more coolant or payload called `name`.
  [[nodiscard]] YAML::Node coolant(const std::string& name);
  [[nodiscard]] YAML::Node payload(const std::string& name);

 private:
  [[nodiscard]] std::string material_for(const std::string& use);
  [[nodiscard]] YAML::Node amount(double volume, double density);
  void lay_pack(YAML::Node& entry, double volume, double density);
  void start_of_coolant(YAML::Node& entry, const cases::Material& material);
  [[nodiscard]] YAML::Node cans();
  [[nodiscard]] YAML::Node shell();
  [[nodiscard]] double share_of_room(double least, double most);

  Draw& draw_;
  const Inside& inside_;
  const cases::MaterialShelf& shelf_;
  const std::vector<std::string>& own_;
  bool loose_allowed_;
  double room_;                             ///< m3 that may still be filled
  double on_floor_, under_lid_, on_sides_;  ///< m2 still bare
};

}  // namespace thawline::random_cases
