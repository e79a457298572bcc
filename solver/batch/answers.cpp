#include "solver/batch/answers.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "solver/batch/column_path.hpp"
#include "solver/batch/found_answers.hpp"
#include "solver/results/freeze_coolants.hpp"

namespace thawline::solver::batch {

namespace {

constexpr double ended = 0, outlasted = 1, never_within = 2;
constexpr double done = 0, not_done = 1;

double hours(double seconds) { return seconds < 0 ? blank : seconds / 3600; }

constexpr std::size_t numbers_of_limit = 12;

void add_limit(const LimitResult& r, const Ended& what, double duration,
               std::vector<double>& numbers) {
  numbers.push_back(r.chill_time < 0 ? never_within : r.end_time < 0 ? outlasted : ended);
  numbers.push_back(hours(r.chill_time));
  numbers.push_back(hours(r.hold_time()));
  numbers.push_back(hours(r.end_time));
  numbers.push_back(hours(r.held(duration)));
  numbers.push_back(hours(r.held_least(duration)));
  numbers.push_back(hours(r.held_most(duration)));
  numbers.push_back(r.limit.side == cases::Side::not_above ? 0 : 1);
  numbers.push_back(r.worst ? *r.worst - 273.15 : blank);
  const bool by_coolant = what.cause != Cause::nothing && what.situation.frozen >= 0;
  numbers.push_back(static_cast<double>(what.cause));
  numbers.push_back(by_coolant ? what.situation.frozen : blank);
  numbers.push_back(
      what.cause == Cause::out_of_reach ? static_cast<double>(what.situation.largest()) : blank);
}

/// What is told of each of the first `count` coolants, or payloads; blank where there are fewer.
void add_items(const mesh::Network& network, const RunResult& result, bool coolant,
               std::size_t count, std::vector<double>& numbers) {
  const std::size_t all = numbers.size() + count * (coolant ? 1 : 2);
  for (std::size_t i = 0; i < network.items.size() && numbers.size() < all; ++i) {
    if (network.items[i].coolant != coolant) continue;
    const ItemResult& r = result.items[i];
    numbers.push_back(hours(coolant ? r.spent_at : r.freezing_at));
    if (!coolant) numbers.push_back(r.coldest ? *r.coldest - 273.15 : blank);
  }
  numbers.resize(all, blank);
}

double heat_by(const mesh::Network& network, const RunResult& result, const std::string& path) {
  const auto found = std::find(network.paths.begin(), network.paths.end(), path);
  if (found == network.paths.end()) return blank;
  return result.heat_by_path[static_cast<std::size_t>(found - network.paths.begin())] / 1000;
}

}  // namespace

AnswerShape answer_shape(const cases::ReadPlan& read) {
  const cases::Case& base = read.base;
  AnswerShape shape;
  shape.find = read.plan.find;
  for (const auto& limit : base.limits) shape.limits.push_back(limit.name);
  for (const auto& coolant : base.coolants) shape.coolants.push_back(coolant.name);
  for (const auto& payload : base.payloads) shape.payloads.push_back(payload.name);
  cases::Case settled = base;
  settle_starts(settled);
  shape.paths = mesh::build_network(settled).paths;
  for (const char* path : {"gasket", "openings"}) {
    if (std::find(shape.paths.begin(), shape.paths.end(), path) == shape.paths.end()) {
      shape.paths.emplace_back(path);
    }
  }
  return shape;
}

std::vector<Column> answer_columns(const AnswerShape& shape) {
  std::vector<Column> columns;
  if (shape.find) columns = found_columns(*shape.find);
  const auto add_number = [&columns](const std::string& path, const char* units,
                                     const std::string& long_name) {
    columns.push_back({path, units, long_name, Kind::number, {}});
  };
  std::set<std::string> taken;
  for (const auto& name : shape.limits) {
    const std::string path = "limits/" + path_word(name, taken);
    columns.push_back({path + "/outcome",
                       "1",
                       name + ": what became of the limit",
                       Kind::word,
                       {"ended", "outlasted", "never_within"}});
    add_number(path + "/chill_time", "h", name + ": first instant within the limit");
    add_number(path + "/hold_time", "h", name + ": from there to the first crossing");
    add_number(path + "/end_time", "h", name + ": instant of that crossing");
    add_number(path + "/held", "h", name + ": hold time, cut where the run or its trace ends");
    add_number(path + "/held_least", "h",
               name + ": shortest such time by the limit moved by no more than a logger's error");
    add_number(path + "/held_most", "h",
               name + ": longest such time by the limit moved by no more than a logger's error");
    columns.push_back({path + "/side",
                       "1",
                       name + ": which side of the limit is allowed",
                       Kind::word,
                       {"not_above", "not_below"}});
    add_number(path + "/worst", "degC",
               name + ": warmest (coldest of a lower limit) of its probes once it was met");
    columns.push_back({path + "/ended_by", "1", name + ": what ended it, or kept it from being met",
                       Kind::word, cause_words()});
    add_number(path + "/frozen_left", "1", name + ": solid share of the coolant then");
    columns.push_back({path + "/resistance", "1",
                       name + ": largest resistance on the way to a coolant out of reach",
                       Kind::word, resistance_words()});
  }
  taken.clear();
  for (const auto& name : shape.coolants) {
    add_number("coolant/" + path_word(name, taken) + "/spent_at", "h",
               name + ": instant all of it is liquid");
  }
  taken.clear();
  for (const auto& name : shape.payloads) {
    const std::string path = "payload/" + path_word(name, taken);
    add_number(path + "/freezing_at", "h", name + ": instant it begins to freeze");
    add_number(path + "/coldest", "degC", name + ": coldest of it at any instant");
  }
  for (const auto& name : shape.paths) {
    add_number("heat/" + name, "kJ", name + ": heat that came in");
  }
  columns.push_back({"steps", "1", "accepted steps", Kind::whole, {}});
  columns.push_back({"newton_iterations", "1", "Newton iterations", Kind::whole, {}});
  columns.push_back(
      {"status", "1", "whether the case was computed", Kind::word, {"done", "failed"}});
  columns.push_back({"reason", "1", "why it failed, or what is to be known", Kind::text, {}});
  return columns;
}

Answers answers_of(const AnswerShape& shape, const cases::Case& c, const mesh::Network& network,
                   const RunResult& result) {
  Answers answers;
  auto& numbers = answers.numbers;
  for (std::size_t i = 0; i < shape.limits.size(); ++i) {
    if (i < result.limits.size()) {
      add_limit(result.limits[i], result.ended[i], c.run.duration, numbers);
    } else {
      numbers.resize(numbers.size() + numbers_of_limit, blank);
    }
  }
  add_items(network, result, true, shape.coolants.size(), numbers);
  add_items(network, result, false, shape.payloads.size(), numbers);
  for (const auto& path : shape.paths) numbers.push_back(heat_by(network, result, path));
  numbers.push_back(result.summary.steps);
  numbers.push_back(result.summary.newton_iterations);
  numbers.push_back(done);
  return answers;
}

Answers no_answers(const AnswerShape& shape, const std::string& reason) {
  Answers answers{std::vector<double>(answer_columns(shape).size() - 1, blank), reason};
  answers.numbers.back() = not_done;
  return answers;
}

bool failed(const Answers& answers) { return answers.numbers.back() != done; }

}  // namespace thawline::solver::batch
