#include "solver/trial/test_case.hpp"

#include <algorithm>

#include "solver/results/freeze_coolants.hpp"

namespace thawline::solver::trial {

cases::Case test_case(const cases::ReadTrial& read, const cases::BaseCase& base, std::size_t record,
                      const std::vector<cases::Setting>& more, double late, double until) {
  const auto& test = read.trial.records[record];
  std::vector<cases::Setting> settings = test.settings;
  settings.insert(settings.end(), more.begin(), more.end());
  cases::Case c = base.read_with(settings, read.shared.library);
  if (test.surroundings) {
    cases::Trace trace = *test.surroundings;
    for (double& t : trace.time) t += late;
    c.surroundings.air = trace;
  }
  c.run.duration = std::min(c.run.duration, until);
  settle_starts(c);
  return c;
}

double last_used(const cases::TestRecord& record) {
  double last = 0;
  for (const auto& channel : record.channels) {
    for (std::size_t k = channel.time.size(); k-- > 0 && !channel.probe.empty();) {
      if (channel.used[k] == 0) continue;
      last = std::max(last, channel.time[k]);
      break;
    }
  }
  for (const auto& weighed : record.weighed) last = std::max(last, weighed.at);
  for (const auto& heat : record.heat) last = std::max(last, heat.until);
  return last;
}

}  // namespace thawline::solver::trial
