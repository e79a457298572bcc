#pragma once

#include <yaml-cpp/yaml.h>

#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "cases/input_error.hpp"
#include "cases/units.hpp"

namespace thawline::cases {

/// Bounds of a quantity in SI, ends included.
struct Range {
  double least = -std::numeric_limits<double>::infinity();
  double most = std::numeric_limits<double>::infinity();
};

/// A place in a YAML file: the node, its path of keys, and the text it came from. All reading of
/// input goes through it, so that every mistake is told with file, line, column and key path.
class Entry {
 public:
  Entry(const YAML::Node& node, std::string path, const SourceText& source);

  [[nodiscard]] const std::string& path() const { return path_; }
  [[nodiscard]] const SourceText& source() const { return *source_; }
  [[nodiscard]] const YAML::Node& node() const { return node_; }
  [[nodiscard]] bool is_map() const { return node_.IsMap(); }
  [[nodiscard]] bool is_list() const { return node_.IsSequence(); }
  [[nodiscard]] bool is_text() const { return node_.IsScalar(); }

  /// True when this map has `key`.
  [[nodiscard]] bool has(const std::string& key) const;
  /// The value under `key`; a missing key is an InputError naming the key.
  [[nodiscard]] Entry at(const std::string& key) const;
  [[nodiscard]] std::optional<Entry> find(const std::string& key) const;
  /// Elements of a list; a lone map or word counts as a list of one. Refuses an empty list.
  [[nodiscard]] std::vector<Entry> items() const;
  /// Keys of a map, in the file's order, each once.
  [[nodiscard]] std::vector<std::string> keys() const;

  /// Refuses anything but a map, keys that are in none of the key sets `maps` (see keys.hpp), and a
  /// key that stands twice.
  void check_known(const std::vector<std::string>& maps) const;
  /// Refuses anything but a map with exactly the keys of the key set `map` (see keys.hpp), each
  /// once.
  void check_keys(const std::string& map) const;

  /// A text; refuses control characters but line feeds and tabs.
  [[nodiscard]] std::string text() const;
  /// A text on one line, such as a title or a name; a line feed at its end is dropped.
  [[nodiscard]] std::string line() const;
  [[nodiscard]] std::string one_of(const std::vector<std::string>& words) const;
  [[nodiscard]] bool on_off() const;
  /// A plain number without a unit.
  [[nodiscard]] double number(Range range) const;
  [[nodiscard]] int whole_number(int least, int most) const;
  /// A quantity with a unit, in SI.
  [[nodiscard]] double quantity(const Dimension& dimension, Range range) const;

  /// Throws InputError: "FILE:LINE:COLUMN: PATH: sentence".
  [[noreturn]] void fail(const std::string& sentence, Mistake mistake = Mistake::value) const;

 private:
  Entry(const YAML::Node& node, YAML::Mark mark, std::string path, const SourceText& source);
  void need_map() const;
  void check_words() const;
  void refuse_control(const std::string& text, const std::string& allowed) const;

  YAML::Node node_;
  YAML::Mark mark_;
  std::string path_;
  const SourceText* source_;
};

/// Parses YAML text. Refuses broken YAML, aliases, more than one document, nesting deeper than 16.
[[nodiscard]] Entry parse_yaml(const SourceText& source);

}  // namespace thawline::cases
