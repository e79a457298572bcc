#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "cases/case_path.hpp"
#include "cases/read_case.hpp"

namespace thawline::cases {

/// A value as it stands in a case file: one word, text or quantity, or a piece of YAML.
struct WrittenValue {
  std::string text;
  bool yaml = false;
};

/// A value for one place of a case.
struct Setting {
  CasePath path;
  WrittenValue value;
};

/// Materials and traces, read once and shared by many cases.
struct Library {
  MaterialShelf materials;
  TraceShelf traces;
};

/// A case file parsed once, to be read many times with other values in some places. An object
/// serves one thread at a time (yaml-cpp's trees are not made for several).
class BaseCase {
 public:
  /// `taken` holds YAML of library materials (`NAME: {...}`, as many as there are) to be put among
  /// the case's own, so that paths reach them. `detail` is put into a case that does not name its
  /// own, with the accuracy that goes with it. Throws InputError when the file is no YAML.
  BaseCase(SourceText source, const std::vector<std::string>& taken,
           std::optional<Detail> detail = std::nullopt);

  /// The case with `settings` in place, in their order, through the same reader and all its checks.
  /// `Case::text` is the file as it stands, or with the settings written in when `with_text`.
  /// Throws InputError.
  [[nodiscard]] Case read_with(const std::vector<Setting>& settings, const Library& library,
                               bool with_text = false) const;

  [[nodiscard]] const YAML::Node& tree() const { return tree_; }

 private:
  std::unique_ptr<const SourceText> source_;
  YAML::Node tree_;
};

}  // namespace thawline::cases
