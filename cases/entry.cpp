#include "cases/entry.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <yaml-cpp/eventhandler.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <sstream>
#include <utility>

#include "cases/keys.hpp"
#include "cases/suggestions.hpp"

namespace thawline::cases {

Entry::Entry(const YAML::Node& node, std::string path, const SourceText& source)
    : Entry(node, node.Mark(), std::move(path), source) {}

Entry::Entry(const YAML::Node& node, YAML::Mark mark, std::string path, const SourceText& source)
    : node_(node), mark_(mark), path_(std::move(path)), source_(&source) {}

void Entry::fail(const std::string& sentence, Mistake mistake) const {
  const std::string where = path_.empty() ? "" : path_ + ": ";
  fail_at(*source_, mark_.line + 1, mark_.column + 1, where + sentence, mistake);
}

void Entry::need_map() const {
  if (node_.IsMap()) return;
  if (node_.IsNull()) fail("is empty; keys with values are expected here", Mistake::form);
  fail("keys with values are expected here, as in 'key: value'", Mistake::form);
}

bool Entry::has(const std::string& key) const {
  need_map();
  return node_[key].IsDefined();
}

std::optional<Entry> Entry::find(const std::string& key) const {
  need_map();
  for (const auto& pair : node_) {
    if (!pair.first.IsScalar() || pair.first.Scalar() != key) continue;
    // yaml-cpp places an empty value where the next key stands.
    const YAML::Mark mark = pair.second.IsNull() ? pair.first.Mark() : pair.second.Mark();
    return Entry(pair.second, mark, path_.empty() ? key : path_ + "." + key, *source_);
  }
  return std::nullopt;
}

Entry Entry::at(const std::string& key) const {
  auto found = find(key);
  if (!found) fail(fmt::format("the key '{}' is missing", key));
  return *found;
}

std::vector<Entry> Entry::items() const {
  if (!node_.IsSequence()) {
    if (node_.IsNull()) fail("is empty");
    return {*this};
  }
  if (node_.size() == 0) fail("is an empty list");
  if (node_.size() > 1000) fail(fmt::format("has {} entries; at most 1000", node_.size()));
  std::vector<Entry> entries;
  for (std::size_t i = 0; i < node_.size(); ++i) {
    entries.emplace_back(node_[i], fmt::format("{}[{}]", path_, i + 1), *source_);
  }
  return entries;
}

std::vector<std::string> Entry::keys() const {
  check_words();
  std::vector<std::string> keys;
  for (const auto& pair : node_) keys.push_back(pair.first.Scalar());
  return keys;
}

void Entry::check_words() const {
  need_map();
  std::set<std::string> seen;
  for (const auto& pair : node_) {
    const Entry key(pair.first, path_, *source_);
    if (!pair.first.IsScalar() || pair.first.Scalar().empty()) {
      key.fail("a key must be a plain word");
    }
    key.refuse_control(pair.first.Scalar(), "");
    if (!seen.insert(pair.first.Scalar()).second) {
      key.fail(fmt::format("the key '{}' stands twice", shortened(pair.first.Scalar())));
    }
  }
}

void Entry::check_known(const std::vector<std::string>& maps) const {
  check_words();
  std::vector<std::string> valid;
  for (const auto& map : maps) {
    const KeySet& set = keys_of(map);
    for (const auto* words : {&set.required, &set.optional}) {
      for (const auto& word : *words) {
        if (std::find(valid.begin(), valid.end(), word) == valid.end()) valid.push_back(word);
      }
    }
  }
  for (const auto& pair : node_) {
    const std::string& word = pair.first.Scalar();
    if (std::find(valid.begin(), valid.end(), word) != valid.end()) continue;
    const Entry key(pair.first, path_, *source_);
    if (pair.second.IsNull() && word.front() >= '0' && word.front() <= '9') {
      key.fail(
          fmt::format("a comma parts '{}' from what is before it; decimals take a point, as in "
                      "'30.5 cm'",
                      shortened(word)),
          Mistake::form);
    }
    const std::string place = place_of_key(word);
    if (!place.empty()) {
      key.fail(fmt::format("unknown key '{}' here; it belongs to {}", word, place), Mistake::key);
    }
    const std::string near = nearest(word, valid);
    key.fail(near.empty()
                 ? fmt::format("unknown key '{}'; the keys here are {}", shortened(word),
                               fmt::join(valid, ", "))
                 : fmt::format("unknown key '{}'; did you mean '{}'?", shortened(word), near),
             Mistake::key);
  }
}

void Entry::check_keys(const std::string& map) const {
  check_known({map});
  for (const auto& key : keys_of(map).required) {
    if (!has(key)) fail(fmt::format("the key '{}' is missing", key));
  }
}

std::string Entry::text() const {
  if (node_.IsNull()) fail("is empty; a value is expected here", Mistake::form);
  if (!node_.IsScalar()) fail("a single word or text is expected here", Mistake::form);
  std::string text = node_.Scalar();
  if (text.empty()) fail("is empty; a text is expected here");
  if (text.size() > 4000) fail("is longer than 4000 characters");
  refuse_control(text, "\n\t");
  return text;
}

std::string Entry::line() const {
  std::string line = text();
  line.erase(line.find_last_not_of('\n') + 1);
  if (line.empty()) fail("is empty; a text is expected here");
  refuse_control(line, "");
  return line;
}

void Entry::refuse_control(const std::string& text, const std::string& allowed) const {
  std::string rest = text;
  for (const char c : allowed) std::replace(rest.begin(), rest.end(), c, ' ');
  const std::size_t at = first_control(rest);
  if (at == std::string::npos) return;
  fail(rest[at] == '\n' ? "takes more than one line; a text on one line is expected here"
                        : "holds a control character; plain text is expected here",
       Mistake::form);
}

std::string Entry::one_of(const std::vector<std::string>& words) const {
  std::string word = text();
  if (std::find(words.begin(), words.end(), word) == words.end()) {
    const std::string near = nearest(word, words);
    fail(fmt::format("'{}' is not one of {}{}", shortened(word), fmt::join(words, ", "),
                     near.empty() ? "" : fmt::format("; did you mean '{}'?", near)),
         Mistake::form);
  }
  return word;
}

bool Entry::on_off() const { return one_of({"on", "off"}) == "on"; }

namespace {

std::string range_sentence(const std::string& read, Range range, const std::string& unit) {
  if (!std::isfinite(range.most)) {
    return fmt::format("'{}' is too small; at least {:.8g}{}", read, range.least, unit);
  }
  return fmt::format("'{}' is out of range; allowed is {:.8g} to {:.8g}{}", shortened(read),
                     range.least, range.most, unit);
}

}  // namespace

double Entry::number(Range range) const {
  const std::string read = text();
  const auto value = read_number(read);
  if (!value) {
    fail(fmt::format("'{}' is not a plain finite number", shortened(read)), Mistake::form);
  }
  if (*value < range.least || *value > range.most) fail(range_sentence(read, range, ""));
  return *value;
}

int Entry::whole_number(int least, int most) const {
  const double value = number({static_cast<double>(least), static_cast<double>(most)});
  if (value != std::floor(value)) fail(fmt::format("'{}' is not a whole number", text()));
  return static_cast<int>(value);
}

double Entry::quantity(const Dimension& dimension, Range range) const {
  const std::string read = text();
  const Quantity quantity = read_quantity(read, dimension);
  if (!quantity.problem.empty()) fail(quantity.problem, Mistake::form);
  if (quantity.value < range.least || quantity.value > range.most) {
    const bool celsius = std::string(dimension.name) == dimension::temperature.name;
    const Range shown = celsius ? Range{range.least - 273.15, range.most - 273.15} : range;
    fail(range_sentence(read, shown, celsius ? " degC" : std::string(" ") + dimension.si_unit));
  }
  return quantity.value;
}

namespace {

/// Walks the events of a YAML file before any tree is built, so that a hostile file costs nothing.
class Guard : public YAML::EventHandler {
 public:
  explicit Guard(const SourceText& source) : source_(&source) {}
  void OnDocumentStart(const YAML::Mark& mark) override {
    if (++documents_ > 1) refuse(mark, "a second YAML document begins here; one is expected");
  }
  void OnDocumentEnd() override {}
  void OnNull(const YAML::Mark&, YAML::anchor_t) override {}
  void OnAlias(const YAML::Mark& mark, YAML::anchor_t) override {
    refuse(mark, "YAML aliases (*name) are not read; write the values out");
  }
  void OnScalar(const YAML::Mark&, const std::string&, YAML::anchor_t,
                const std::string&) override {}
  void OnSequenceStart(const YAML::Mark& mark, const std::string&, YAML::anchor_t,
                       YAML::EmitterStyle::value) override {
    enter(mark);
  }
  void OnSequenceEnd() override { --depth_; }
  void OnMapStart(const YAML::Mark& mark, const std::string&, YAML::anchor_t,
                  YAML::EmitterStyle::value) override {
    enter(mark);
  }
  void OnMapEnd() override { --depth_; }

 private:
  void enter(const YAML::Mark& mark) {
    if (++depth_ > 16) refuse(mark, "is nested deeper than 16 levels");
  }
  void refuse(const YAML::Mark& mark, const std::string& sentence) const {
    fail_at(*source_, mark.line + 1, mark.column + 1, sentence);
  }
  const SourceText* source_;
  int depth_ = 0;
  int documents_ = 0;
};

/// The parser's words in those of a person who writes a case.
std::string plain_words(const std::string& problem) {
  static const std::map<std::string, std::string> words{
      {YAML::ErrorMsg::END_OF_MAP,
       "this line does not belong to the keys above it; look at its indentation, '-' and ':'"},
      {YAML::ErrorMsg::END_OF_SEQ,
       "this line does not belong to the list above it; look at its indentation and '-'"},
      {YAML::ErrorMsg::END_OF_MAP_FLOW, "a '{' is not closed by '}', or a ',' is missing"},
      {YAML::ErrorMsg::END_OF_SEQ_FLOW, "a '[' is not closed by ']', or a ',' is missing"},
      {YAML::ErrorMsg::MAP_VALUE, "a ':' is out of place; a text that holds one stands in quotes"},
      {YAML::ErrorMsg::UNKNOWN_TOKEN,
       "a character is out of place; a text that holds special ones stands in quotes"},
      {YAML::ErrorMsg::EOF_IN_SCALAR, "a quote is not closed"},
  };
  const auto found = words.find(problem);
  return found == words.end() ? problem : found->second;
}

}  // namespace

Entry parse_yaml(const SourceText& source) {
  try {
    std::istringstream stream(source.text);
    YAML::Parser parser(stream);
    Guard guard(source);
    if (!parser.HandleNextDocument(guard)) fail_at(source, 1, 1, "holds no YAML");
    (void)parser.HandleNextDocument(guard);
    return {YAML::Load(source.text), "", source};
  } catch (const YAML::Exception& error) {
    const std::string line = source.line(error.mark.line + 1);
    const auto indent = line.substr(0, line.find_first_not_of(" \t"));
    if (const auto tab = indent.find('\t'); tab != std::string::npos) {
      fail_at(source, error.mark.line + 1, static_cast<int>(tab) + 1,
              "a tab indents this line; YAML is indented with spaces only");
    }
    fail_at(source, error.mark.line + 1, error.mark.column + 1,
            fmt::format("is not valid YAML: {}", plain_words(error.msg)));
  }
}

}  // namespace thawline::cases
