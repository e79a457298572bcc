#include "solver/explain/explain.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <exception>
#include <limits>
#include <mutex>

#include "cases/input_error.hpp"

namespace thawline::solver::explain {

namespace {

constexpr int most_doublings = 3;

/// The place of the limit asked for; that of the same name, or else of the same place.
std::size_t limit_of(const cases::Case& c, const std::string& name, std::size_t otherwise) {
  for (std::size_t i = 0; i < c.limits.size(); ++i) {
    if (c.limits[i].name == name) return i;
  }
  return otherwise;
}

struct Asked {
  std::optional<cases::Detail> detail;
  std::string limit;
  std::size_t place = 0;  ///< in the first case
  double duration = 0;    ///< s
};

struct Told {
  std::optional<double> value;
  std::string reason;
  bool outlasted = false, never_within = false;
};

Told answer_of(const cases::Case& c, const RunResult& result, const Question& question,
               const Asked& asked) {
  Told told;
  if (question.answer == Answer::heat) {
    double sum = 0;
    for (const double heat : result.heat_by_path) sum += heat;
    told.value = sum / 1000;
    return told;
  }
  const std::size_t place = limit_of(c, asked.limit, asked.place);
  if (place >= result.limits.size()) {
    told.reason = "it has no such limit";
    return told;
  }
  const LimitResult& r = result.limits[place];
  told.never_within = r.chill_time < 0;
  told.outlasted = r.chill_time >= 0 && r.end_time < 0;
  if (question.answer == Answer::held) {
    told.value = r.held(c.run.duration) / 3600;
  } else if (r.worst) {
    told.value = *r.worst - 273.15;
  } else {
    told.reason = "the limit is never met";
  }
  return told;
}

Told told_of(const cases::TwoCases& cases, std::uint64_t subset, const Question& question,
             const Asked& asked, const cases::MaterialShelf& shelf) {
  Told told;
  double duration = asked.duration;
  for (int i = 0; i <= most_doublings; ++i, duration *= 2) {
    try {
      cases::Case c = cases.between(subset, duration, shelf);
      cases::keep_last_reading(c);
      const RunResult result = run_case(c);
      if (!result.summary.completed) return {{}, result.summary.stop_reason, false, false};
      told = answer_of(c, result, question, asked);
    } catch (const cases::InputError& error) {
      return {{}, error.sentence(), false, false};
    }
    if (question.answer != Answer::held || !told.outlasted) break;
  }
  return told;
}

/// Computes all subsets, several at once.
std::vector<Told> compute(const cases::SourceText& first, const cases::SourceText& second,
                          const std::vector<std::uint64_t>& subsets, const Question& question,
                          const Asked& asked, const cases::MaterialShelf& shelf) {
  std::vector<Told> told(subsets.size());
  std::exception_ptr stop;
  std::atomic<bool> stopped = false;
  std::mutex one_at_a_time;
  const auto count = static_cast<std::int64_t>(subsets.size());
#pragma omp parallel num_threads(question.threads)
  {
    cases::TwoCases own(first, second);
    if (asked.detail) own.take_detail(*asked.detail);
#pragma omp for schedule(dynamic, 1)
    for (std::int64_t i = 0; i < count; ++i) {
      const auto k = static_cast<std::size_t>(i);
      if (stopped) continue;
      try {
        told[k] = told_of(own, subsets[k], question, asked, shelf);
      } catch (...) {
        const std::lock_guard lock(one_at_a_time);
        if (!stop) stop = std::current_exception();
        stopped = true;
      }
    }
  }
  if (stop) std::rethrow_exception(stop);
  return told;
}

Asked asked_of(const cases::Case& first, const cases::Case& second, const Question& question) {
  Asked asked;
  asked.duration = std::max(first.run.duration, second.run.duration);
  if (question.answer == Answer::heat) return asked;
  if (first.limits.empty() || second.limits.empty()) {
    throw cases::InputError(fmt::format("{}: has no limit whose answer could be explained",
                                        first.limits.empty() ? first.file : second.file));
  }
  asked.limit = question.limit.empty() ? first.limits.front().name : question.limit;
  asked.place = limit_of(first, asked.limit, first.limits.size());
  if (asked.place == first.limits.size()) {
    std::vector<std::string> names;
    for (const auto& limit : first.limits) names.push_back(limit.name);
    const std::string near = cases::nearest(asked.limit, names);
    throw cases::InputError(fmt::format(
        "--limit: '{}' is no limit of {}; {}", cases::shortened(asked.limit), first.file,
        near.empty() ? "there are: " + fmt::format("{}", fmt::join(names, ", "))
                     : "did you mean '" + near + "'?"));
  }
  return asked;
}

}  // namespace

const char* unit_of(Answer answer) {
  return answer == Answer::held ? "h" : answer == Answer::worst ? "degC" : "kJ";
}

Explained explain(const Question& question, const cases::MaterialShelf& shelf) {
  const auto first = cases::read_text_file(question.first_file, cases::most_case_bytes);
  const auto second = cases::read_text_file(question.second_file, cases::most_case_bytes);
  const cases::Case first_case = cases::read_case_text(first.file, first.text, shelf);
  const cases::Case second_case = cases::read_case_text(second.file, second.text, shelf);
  Asked asked = asked_of(first_case, second_case, question);
  const cases::TwoCases two(first, second);
  const std::size_t players = two.groups().size();
  if (players > 63) {
    throw cases::InputError(
        fmt::format("{} and {}: differ in more than 63 groups of inputs", first.file, second.file));
  }
  Explained out;
  out.question = question;
  out.first_title = first_case.title;
  out.second_title = second_case.title;
  out.limit = asked.limit;
  if (const auto chosen = two.common_detail(asked.duration, shelf)) {
    asked.detail = chosen->detail;
    out.detail = cases::detail_line(chosen->detail, std::nullopt, chosen->why);
  }
  out.exact = players <= statistics::most_exact;
  const auto orders = out.exact
                          ? std::vector<std::vector<std::size_t>>{}
                          : statistics::random_orders(
                                players, std::max<std::size_t>(question.orders, 4), question.seed);
  std::vector<std::uint64_t> subsets;
  if (out.exact) {
    for (std::uint64_t s = 0; s < std::uint64_t{1} << players; ++s) subsets.push_back(s);
  } else {
    subsets = statistics::subsets_of(orders);
  }
  const auto told = compute(first, second, subsets, question, asked, shelf);
  statistics::SubsetValues values;
  for (std::size_t k = 0; k < subsets.size(); ++k) {
    values[subsets[k]] = told[k].value;
    out.outlasted += told[k].value && told[k].outlasted ? 1 : 0;
    out.never_within += told[k].value && told[k].never_within ? 1 : 0;
    if (!told[k].value) out.not_computed.push_back({subsets[k], told[k].reason});
  }
  const auto shares = out.exact ? statistics::shapley(players, values)
                                : statistics::shapley(players, orders, values);
  out.cases = subsets.size();
  out.from = shares.from;
  out.to = shares.to;
  out.possible = shares.possible;
  out.orders = shares.orders;
  out.left_out = shares.left_out;
  for (std::size_t i = 0; i < players; ++i) {
    out.parts.push_back(
        {two.groups()[i], shares.share[i], shares.error.empty() ? 0 : shares.error[i]});
  }
  std::stable_sort(out.parts.begin(), out.parts.end(), [](const Part& a, const Part& b) {
    return std::abs(a.share) > std::abs(b.share);
  });
  return out;
}

std::string explained_sentence(const Explained& explained) {
  const double difference = explained.to - explained.from;
  const Answer answer = explained.question.answer;
  const auto amount = [answer](double value) {
    const char* unit = answer == Answer::worst ? "K" : unit_of(answer);
    return answer == Answer::heat ? fmt::format("{:.0f} {}", value, unit)
                                  : fmt::format("{:.1f} {}", value, unit);
  };
  const double least = answer == Answer::heat ? 0.5 : 0.05;
  const char* words[3][2] = {{"longer", "shorter"}, {"warmer", "colder"}, {"more", "less"}};
  const auto& word = words[static_cast<std::size_t>(answer)];
  const char* verb = answer == Answer::held    ? "holds"
                     : answer == Answer::worst ? "comes"
                                               : "takes in";
  std::string text;
  if (std::abs(difference) < least) {
    text = fmt::format("the second {} as the first does", answer == Answer::held ? "holds as long"
                                                          : answer == Answer::worst
                                                              ? "comes as far"
                                                              : "takes in as much");
  } else {
    text = fmt::format("the second {} {} {}", verb, amount(std::abs(difference)),
                       word[difference > 0 ? 0 : 1]);
  }
  std::string parts;
  // Where some parts go the other way each says which way it goes.
  const bool one_way =
      std::all_of(explained.parts.begin(), explained.parts.end(), [&](const Part& part) {
        return std::abs(part.share) < least || (part.share > 0) == (difference > 0);
      });
  for (const Part& part : explained.parts) {
    if (std::abs(part.share) < least) continue;
    parts += fmt::format(
        "{}{}{} for its {}", parts.empty() ? ": " : ", ", amount(std::abs(part.share)),
        one_way ? "" : std::string(" ") + word[part.share > 0 ? 0 : 1], part.group.name);
  }
  return text + parts;
}

}  // namespace thawline::solver::explain
