#include "solver/batch/find_case.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "solver/batch/case_label.hpp"
#include "solver/batch/find_value.hpp"
#include "solver/batch/found_answers.hpp"

namespace thawline::solver::batch {

namespace {

/// One run and how long it lasted.
struct Tried {
  Solved solved;
  double duration = 0;  ///< s
};

/// The runs of one search.
class Trials {
 public:
  Trials(const cases::ReadPlan& read, const cases::BaseCase& base, AnswerShape shape,
         std::uint64_t number)
      : read_(read),
        base_(base),
        shape_(std::move(shape)),
        settings_(titled_settings(read.plan, read.base.title, number)) {
    shape_.find.reset();
  }

  Look look(double value) {
    const auto& sought = *read_.plan.find;
    Tried tried = run(value, std::max(read_.base.run.duration, 1.25 * sought.hold), "");
    Look look = seen(value, tried);
    if (look.beyond && look.held < sought.hold) {  // it was first met late
      tried = run(value, tried.duration + sought.hold, "");
      look = seen(value, tried);
    }
    tried_[value] = std::move(tried);
    return look;
  }

  [[nodiscard]] const Tried& at(double value) const { return tried_.at(value); }

  void write_history(double value, const std::string& file) const {
    (void)run(value, at(value).duration, file);
  }

 private:
  [[nodiscard]] Tried run(double value, double duration, const std::string& history_file) const {
    const auto& sought = *read_.plan.find;
    auto settings = settings_;
    settings.push_back({sought.path, {cases::written(value, sought.unit), false}});
    settings.push_back({{{{"run", 0}, {"duration", 0}}}, {cases::written(duration, "s"), false}});
    return {solve_case(read_, base_, shape_, settings, history_file, PastTrace::as_given),
            duration};
  }

  [[nodiscard]] Look seen(double value, const Tried& tried) const {
    Look look;
    look.value = value;
    const std::size_t limit = read_.plan.find->limit;
    if (failed(tried.solved.answers)) {
      look.failure = tried.solved.answers.reason;
    } else if (limit >= tried.solved.result.limits.size()) {
      look.failure = "the case has no such limit";
    } else {
      const LimitResult& r = tried.solved.result.limits[limit];
      look.held = r.held(tried.duration);
      look.within = r.chill_time >= 0;
      look.beyond = look.within && r.end_time < 0;
    }
    return look;
  }

  const cases::ReadPlan& read_;
  const cases::BaseCase& base_;
  AnswerShape shape_;
  std::vector<cases::Setting> settings_;
  std::map<double, Tried> tried_;
};

/// Why a case cannot hold, where its coolants say so.
std::string why_short(const cases::Case& c, const cases::Limit& limit) {
  const bool above = limit.side == cases::Side::not_above;
  for (const auto& coolant : c.coolants) {
    if (!coolant.material.melts()) continue;
    const double from = cases::solidus_of(coolant.material);
    const double to = cases::liquidus_of(coolant.material);
    if (above ? from < limit.temperature : to > limit.temperature) continue;
    return fmt::format("'{}' melts at {:.1f} degC, {} the limit of {:.1f} degC", coolant.name,
                       (above ? from : to) - 273.15, above ? "not below" : "not above",
                       limit.temperature - 273.15);
  }
  return {};
}

}  // namespace

Answers find_one(const cases::ReadPlan& read, const cases::BaseCase& base, const AnswerShape& shape,
                 std::uint64_t number, const std::string& history_file) {
  const auto& sought = *read.plan.find;
  Trials trials(read, base, shape, number);
  const Found found = find_value(sought, [&trials](double value) { return trials.look(value); });
  if (found.ending == Ending::failed) {
    Answers answers = no_answers(shape, found_sentence(sought, found, ""));
    const auto numbers = found_numbers(found, 0);
    std::copy(numbers.begin(), numbers.end(), answers.numbers.begin());
    return answers;
  }
  const Tried& tried = trials.at(found.at.value);
  if (!history_file.empty()) trials.write_history(found.at.value, history_file);
  Answers answers;
  answers.numbers = found_numbers(found, tried.duration);
  const auto& rest = tried.solved.answers.numbers;
  answers.numbers.insert(answers.numbers.end(), rest.begin(), rest.end());
  const auto& c = *tried.solved.c;
  const std::string because = found.ending == Ending::too_short && sought.limit < c.limits.size()
                                  ? why_short(c, c.limits[sought.limit])
                                  : "";
  answers.reason = found_sentence(sought, found, because);
  return answers;
}

}  // namespace thawline::solver::batch
