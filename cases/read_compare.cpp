#include "cases/read_compare.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cases/rename_item.hpp"

namespace thawline::cases {

namespace {

constexpr Range freezer_temperature{73.15, 373.15};

/// The number of the coolant a path names, from 0.
std::size_t coolant_at(const Entry& of, const CasePath& path, const YAML::Node& tree) {
  const auto& steps = path.steps;
  const bool entry = !steps.empty() && steps.front().key == "coolant" &&
                     (steps.size() == 1 || (steps.size() == 2 && steps[1].entry > 0));
  const YAML::Node node = entry ? node_at(tree, path, steps.size()) : YAML::Node();
  if (!node.IsDefined() || !node.IsMap()) {
    of.fail(
        fmt::format("'{}' is no coolant; name one like coolant.1 or coolant.NAME", path.text()));
  }
  return steps.size() == 1 ? 0 : steps[1].entry - 1;
}

EqualBy read_equal(const Entry& entry) {
  const std::string word = entry.one_of({"volume", "bulk", "mass", "frozen_energy", "cost"});
  if (word == "volume") return EqualBy::volume;
  if (word == "bulk") return EqualBy::bulk;
  if (word == "mass") return EqualBy::mass;
  return word == "cost" ? EqualBy::cost : EqualBy::frozen_energy;
}

/// The temperature frozen energy counts up to: as given, or the coldest upper limit.
std::optional<double> read_until(const Entry& entry, const Case& base) {
  if (const auto until = entry.find("until")) {
    return until->quantity(dimension::temperature, freezer_temperature);
  }
  std::optional<double> coldest;
  for (const auto& limit : base.limits) {
    if (limit.side != Side::not_above) continue;
    coldest = std::min(coldest.value_or(limit.temperature), limit.temperature);
  }
  return coldest;
}

double read_stated_amount(const Entry& amount, EqualBy by) {
  switch (by) {
    case EqualBy::volume:
    case EqualBy::bulk:
      return amount.quantity(dimension::volume, {1e-7, 20});
    case EqualBy::mass:
      return amount.quantity(dimension::mass, {1e-4, 5000});
    case EqualBy::frozen_energy:
      return amount.quantity(dimension::energy, {1, 1e10});
    case EqualBy::cost:
      break;
  }
  return amount.number({1e-6, 1e9});
}

/// What a kilogram comes to of that which is the same for all.
double for_a_kilogram(const Contender& contender, EqualBy by) {
  const Coolant& coolant = contender.coolant;
  if (by == EqualBy::volume) return 1 / coolant.material.density;
  if (by == EqualBy::bulk) return space_of(coolant) / coolant.mass;
  if (by == EqualBy::mass) return 1;
  return by == EqualBy::cost ? *contender.price : contender.taken_up;
}

/// Reads the contenders of one comparison.
class CompareReader {
 public:
  CompareReader(const Entry& entry, const Case& base, const TakenUp& taken_up, PlanPlaces& places)
      : entry_(entry), base_(base), taken_up_(taken_up), places_(places) {}

  Comparison read();

 private:
  void read_amount();
  [[nodiscard]] Contender read_contender(const Entry& entry) const;
  [[nodiscard]] YAML::Node merged(const Entry& entry) const;
  void take_name(Contender& contender, YAML::Node& node) const;
  [[nodiscard]] Coolant read_coolant(const Entry& entry, const YAML::Node& merged) const;
  void refuse_same_name(const Entry& entry, const std::string& name) const;

  const Entry& entry_;
  const Case& base_;
  const TakenUp& taken_up_;
  PlanPlaces& places_;
  Comparison out_;
  std::size_t index_ = 0;
  std::optional<Entry> freezer_;
};

/// The base case's coolant with the keys of a contender in place of its own. What its form or start
/// rules out goes.
YAML::Node CompareReader::merged(const Entry& entry) const {
  YAML::Node node = YAML::Clone(node_at(places_.tree(), out_.path, out_.path.steps.size()));
  node.remove("amount");
  const bool loose = entry.has("form") && entry.at("form").text() == "loose";
  const auto drop = [&node](std::initializer_list<const char*> keys) {
    for (const char* key : keys) node.remove(key);
  };
  if (entry.has("form")) drop({"melt_water"});
  if (loose) drop({"thickness", "stacked", "place"});
  if (freezer_ || entry.has("start") || entry.has("start_liquid_fraction")) {
    drop({"start", "start_liquid_fraction"});
  }
  for (const auto& key : entry.keys()) {
    if (key != "name" && key != "price") node[key] = entry.node()[key];
  }
  if (freezer_) node["start"] = YAML::Clone(freezer_->node());
  node["name"] = base_.coolants[index_].name;
  return node;
}

Coolant CompareReader::read_coolant(const Entry& entry, const YAML::Node& merged) const {
  YAML::Node node = YAML::Clone(merged);
  node["amount"] = "1 g";  // so that none fails for want of room
  const auto read = [&] {
    return places_.read_with({{out_.path, {flow_yaml(node), true}}}).coolants.at(index_);
  };
  try {
    return read();
  } catch (const InputError& error) {
    if (error.mistake() != Mistake::value || !node["thickness"]) entry.fail(error.sentence());
  }
  // A thickness that does not fit fails the contender's cases alone, with the reason in their rows.
  node["thickness"] = "1 mm";
  node.remove("stacked");
  try {
    return read();
  } catch (const InputError& error) {
    entry.fail(error.sentence());
  }
}

void CompareReader::refuse_same_name(const Entry& entry, const std::string& name) const {
  for (const auto& other : out_.contenders) {
    if (other.name != name) continue;
    (entry.has("name") ? entry.at("name") : entry)
        .fail(fmt::format("two contenders are called '{}'; give one its own 'name'",
                          shortened(name)));
  }
}

/// Lets the coolant go by the contender's name, and what speaks of it, unless something in the case
/// has that name or the plan changes what speaks of it.
void CompareReader::take_name(Contender& contender, YAML::Node& node) const {
  const std::string& from = base_.coolants[index_].name;
  const auto taken = [&](const auto& items) {
    return std::any_of(items.begin(), items.end(), [&](const auto& item) {
      return item.name != from &&
             (item.name == contender.name || contender.name.starts_with(item.name + " ") ||
              item.name.starts_with(contender.name + " "));
    });
  };
  if (contender.name == "air" || taken(base_.coolants) || taken(base_.payloads)) return;
  auto renamed = references_renamed(places_.tree(), from, contender.name);
  for (const auto& setting : renamed) {
    for (const auto& own : places_.own()) {
      if (own.holds(setting.path) || setting.path.holds(own)) return;
    }
  }
  node["name"] = contender.name;
  contender.renamed = std::move(renamed);
}

Contender CompareReader::read_contender(const Entry& entry) const {
  entry.check_keys("contender");
  if (freezer_) {
    for (const char* key : {"start", "start_liquid_fraction"}) {
      if (const auto start = entry.find(key)) {
        start->fail("all contenders come from the 'freezer' given above; take one of them out");
      }
    }
  }
  Contender contender;
  YAML::Node node = merged(entry);
  contender.coolant = read_coolant(entry, node);
  contender.name = entry.has("name") ? entry.at("name").line() : contender.coolant.material.name;
  refuse_same_name(entry, contender.name);
  if (const auto price = entry.find("price")) contender.price = price->number({1e-9, 1e9});
  if (out_.by == EqualBy::cost && !contender.price) {
    entry.fail("the key 'price' is missing (for a kilogram)");
  }
  if (out_.until) contender.taken_up = taken_up_(contender.coolant, *out_.until);
  const double each = for_a_kilogram(contender, out_.by);
  if (each <= 0) {
    entry.fail(fmt::format("takes up no heat from {:.1f} to {:.1f} degC",
                           contender.coolant.start - 273.15, *out_.until - 273.15));
  }
  contender.coolant.mass = out_.amount / each;
  if (contender.coolant.pieces) take_whole_pieces(contender.coolant, contender.coolant.mass);
  node["amount"] = written(contender.coolant.mass, "kg");
  take_name(contender, node);
  contender.entry = {flow_yaml(node), true};
  return contender;
}

/// As stated, or as much as the base case has.
void CompareReader::read_amount() {
  if (const auto amount = entry_.find("amount")) {
    out_.amount = read_stated_amount(*amount, out_.by);
    return;
  }
  if (out_.by == EqualBy::cost) entry_.fail("the key 'amount' is missing (the cost of each)");
  Contender reference;
  reference.coolant = base_.coolants[index_];
  if (freezer_) {
    const double mass = reference.coolant.mass;
    YAML::Node node = YAML::Clone(node_at(places_.tree(), out_.path, out_.path.steps.size()));
    node.remove("start_liquid_fraction");
    node["start"] = YAML::Clone(freezer_->node());
    reference.coolant = read_coolant(*freezer_, node);
    reference.coolant.mass = mass;
  }
  if (out_.until) reference.taken_up = taken_up_(reference.coolant, *out_.until);
  out_.amount = reference.coolant.mass * for_a_kilogram(reference, out_.by);
}

Comparison CompareReader::read() {
  entry_.check_keys("compare");
  const Entry of = entry_.at("of");
  out_.path = places_.read_own_path(of);
  index_ = coolant_at(of, out_.path, places_.tree());
  out_.name = places_.read_name(entry_, base_.coolants[index_].name);
  out_.by = read_equal(entry_.at("equal"));
  out_.until = read_until(entry_, base_);
  if (out_.by == EqualBy::frozen_energy && !out_.until) {
    entry_.fail("the key 'until' is missing (the temperature up to which frozen energy counts)");
  }
  freezer_ = entry_.find("freezer");
  if (freezer_ && !freezer_->is_map()) {
    (void)freezer_->quantity(dimension::temperature, freezer_temperature);
  }
  read_amount();
  const Entry contenders = entry_.at("contenders");
  need_list(contenders);
  for (const auto& item : contenders.items()) out_.contenders.push_back(read_contender(item));
  return out_;
}

}  // namespace

void read_compare(const Entry& entry, const Case& base, const TakenUp& taken_up, PlanPlaces& places,
                  Plan& plan) {
  plan.compare = CompareReader(entry, base, taken_up, places).read();
  check_count(entry, plan);
}

}  // namespace thawline::cases
