#include <algorithm>
#include <catch2/catch.hpp>
#include <fstream>
#include <nlohmann/json.hpp>
#include <set>
#include <string>
#include <vector>

#include "cases/keys.hpp"

namespace {

using nlohmann::json;
using thawline::cases::case_keys;
using thawline::cases::KeySet;
using thawline::cases::plan_keys;
using thawline::cases::trial_keys;

json read_schema(const std::string& kind) {
  std::ifstream stream(std::string(THAWLINE_SOURCE_DIR) + "/cases/" + kind + ".schema.json");
  REQUIRE(stream.good());
  return json::parse(stream);
}

std::set<std::string> as_set(const std::vector<std::string>& words) {
  return {words.begin(), words.end()};
}

std::set<std::string> property_names(const json& map) {
  std::set<std::string> names;
  for (const auto& [name, property] : map.at("properties").items()) names.insert(name);
  return names;
}

std::set<std::string> all_keys(const KeySet& set) {
  std::set<std::string> keys = as_set(set.required);
  keys.insert(set.optional.begin(), set.optional.end());
  return keys;
}

void check_references(const json& node, const json& definitions) {
  if (node.is_object() && node.contains("$ref")) {
    const auto target = node.at("$ref").get<std::string>();
    const std::string prefix = "#/$defs/";
    REQUIRE(target.substr(0, prefix.size()) == prefix);
    CHECK(definitions.contains(target.substr(prefix.size())));
  }
  if (!node.is_structured()) return;
  for (const auto& child : node) check_references(child, definitions);
}

const std::vector<KeySet>& keys_in(const std::string& kind) {
  return kind == "case" ? case_keys() : kind == "plan" ? plan_keys() : trial_keys();
}

}  // namespace

TEST_CASE("the schema and the reader know the same maps", "[cases]") {
  const auto kind = GENERATE(as<std::string>(), "case", "plan", "trial");
  std::set<std::string> read;
  for (const auto& set : keys_in(kind)) read.insert(set.map);
  const json schema = read_schema(kind);
  std::set<std::string> described;
  for (const auto& [name, map] : schema.at("$defs").items()) described.insert(name);
  CHECK(read == described);
}

TEST_CASE("the schema and the reader know the same keys", "[cases]") {
  const auto kind = GENERATE(as<std::string>(), "case", "plan", "trial");
  const json schema = read_schema(kind);
  for (const auto& set : keys_in(kind)) {
    INFO("map: " << set.map);
    const json& map = schema.at("$defs").at(set.map);
    CHECK(property_names(map) == all_keys(set));
    CHECK(as_set(map.at("required").get<std::vector<std::string>>()) == as_set(set.required));
    CHECK(map.at("additionalProperties") == false);
  }
}

TEST_CASE("the schema describes every key and refers to nothing unknown", "[cases]") {
  const auto kind = GENERATE(as<std::string>(), "case", "plan", "trial");
  const json schema = read_schema(kind);
  check_references(schema, schema.at("$defs"));
  for (const auto& [name, map] : schema.at("$defs").items()) {
    INFO("map: " << name);
    CHECK(map.contains("description"));
    for (const auto& [key, property] : map.at("properties").items()) {
      INFO("key: " << key);
      CHECK((property.contains("description") || property.contains("$ref")));
    }
  }
}
