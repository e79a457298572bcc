#include "solver/trial/fit_problem.hpp"

#include <algorithm>
#include <cmath>
#include <deque>
#include <mutex>
#include <optional>

#include "cases/input_error.hpp"
#include "cases/units.hpp"
#include "solver/trial/asked_run.hpp"
#include "solver/trial/test_case.hpp"

namespace thawline::solver::trial {

namespace {

using fit::Unknown;

constexpr double steady_accuracy = 0.02;  // K: differences of runs need smooth ones
constexpr double rough_accuracy = 0.3;    // K: for the search
constexpr double shortest_average = 600;  // s
constexpr double most_averages = 200;     // of a channel

/// Readings averaged over some minutes, and the two instants at which a smooth curve has that mean.
struct Averages {
  fit::Series series;
  std::vector<double> early, late;  ///< s: Gauss's two points
};

Averages averages_of(const cases::MeasuredChannel& channel) {
  double first = 1e300;
  double last = -1e300;
  for (std::size_t k = 0; k < channel.time.size(); ++k) {
    if (channel.used[k] == 0) continue;
    first = std::min(first, channel.time[k]);
    last = std::max(last, channel.time[k]);
  }
  const double width = std::max(shortest_average, (last - first) / most_averages);
  Averages out;
  double sum = 0;
  double time = 0;
  double squares = 0;
  int count = 0;
  double begin = first;
  const auto close = [&] {
    if (count == 0) return;
    const double middle = time / count;
    const double reach = std::sqrt(std::max(squares / count - middle * middle, 0.0));
    out.series.time.push_back(middle);
    out.series.measured.push_back(sum / count);
    out.early.push_back(std::max(middle - reach, 0.0));
    out.late.push_back(middle + reach);
    sum = time = squares = 0;
    count = 0;
  };
  for (std::size_t k = 0; k < channel.time.size(); ++k) {
    if (channel.used[k] == 0) continue;
    if (channel.time[k] >= begin + width) {
      close();
      begin += width * std::floor((channel.time[k] - begin) / width);
    }
    sum += channel.value[k];
    time += channel.time[k];
    squares += channel.time[k] * channel.time[k];
    ++count;
  }
  close();
  return out;
}

/// What one record is asked and how its answers become predictions.
struct RecordModel {
  std::vector<Averages> channels;
  std::vector<std::string> probes;
  double until = 0;

  [[nodiscard]] Asked asked(const cases::TestRecord& record, double late) const {
    Asked asked;
    for (std::size_t c = 0; c < channels.size(); ++c) {
      std::vector<double> times = channels[c].early;
      times.insert(times.end(), channels[c].late.begin(), channels[c].late.end());
      std::sort(times.begin(), times.end());
      times.erase(std::unique(times.begin(), times.end()), times.end());
      for (double& t : times) t = std::max(t + late, 0.0);
      asked.probes.push_back({probes[c], times});
    }
    for (const auto& weighed : record.weighed) asked.melted.push_back({weighed.item, weighed.at});
    for (const auto& heat : record.heat) asked.heat.push_back(heat.until);
    return asked;
  }
};

/// Means over the averaging times, from what was told at all their instants.
std::vector<double> means(const Averages& averages, const Asked::AtProbe& at,
                          const std::vector<double>& told, double late) {
  const auto value_at = [&](double t) {
    const double wanted = std::max(t + late, 0.0);
    const auto found = std::lower_bound(at.time.begin(), at.time.end(), wanted - 1e-6);
    return told[static_cast<std::size_t>(found - at.time.begin())];
  };
  std::vector<double> out;
  for (std::size_t i = 0; i < averages.early.size(); ++i) {
    out.push_back((value_at(averages.early[i]) + value_at(averages.late[i])) / 2);
  }
  return out;
}

/// What one run of a record predicts.
struct RecordTold {
  std::vector<std::vector<double>> channels;
  std::vector<double> data;
};

/// Runs of a trial's cases. Serves several threads: every caller takes a base case of its own, and
/// what was computed lately is remembered by the unknowns it depends on.
class Runner {
 public:
  Runner(const cases::ReadTrial& read, std::vector<RecordModel> models, const FitProblem& problem,
         double accuracy)
      : read_(&read),
        models_(std::move(models)),
        meanings_(problem.meanings),
        runs_(problem.runs),
        failure_(problem.last_failure),
        matters_(problem.matters),
        accuracy_(accuracy),
        memory_(models_.size()) {}

  std::optional<fit::Predicted> operator()(const Eigen::VectorXd& x) {
    fit::Predicted out;
    for (std::size_t r = 0; r < models_.size(); ++r) {
      const auto told = record(r, x);
      if (!told) return std::nullopt;
      out.series.insert(out.series.end(), told->channels.begin(), told->channels.end());
      out.data.insert(out.data.end(), told->data.begin(), told->data.end());
    }
    return out;
  }

  std::optional<RecordTold> with_clock(std::size_t r, const Eigen::VectorXd& x, double later) {
    return compute(r, x, later);
  }

 private:
  using Key = std::vector<double>;
  struct Known {
    Key key;
    std::optional<RecordTold> told;
  };

  [[nodiscard]] Key key_of(std::size_t r, const Eigen::VectorXd& x) const {
    Key key;
    for (std::size_t k = 0; k < meanings_.size(); ++k) {
      const auto& meaning = meanings_[k];
      if (meaning.kind == Meaning::Kind::offset) continue;
      if (meaning.record >= 0 && meaning.record != static_cast<int>(r)) continue;
      if (!(*matters_)[r][k]) continue;
      key.push_back(x[static_cast<Eigen::Index>(k)]);
    }
    return key;
  }

  std::optional<RecordTold> record(std::size_t r, const Eigen::VectorXd& x) {
    const Key key = key_of(r, x);
    {
      const std::lock_guard lock(mutex_);
      for (const auto& known : memory_[r]) {
        if (known.key == key) return known.told;
      }
    }
    auto told = compute(r, x, 0);
    const std::lock_guard lock(mutex_);
    constexpr std::size_t remembered = 8;
    memory_[r].push_front({key, told});
    if (memory_[r].size() > remembered) memory_[r].pop_back();
    return told;
  }

  std::unique_ptr<cases::BaseCase> take_base() {
    const std::lock_guard lock(mutex_);
    ++*runs_;
    if (bases_.empty()) {
      return std::make_unique<cases::BaseCase>(cases::base_case(read_->shared.plan));
    }
    auto base = std::move(bases_.back());
    bases_.pop_back();
    return base;
  }

  void give_back(std::unique_ptr<cases::BaseCase> base) {
    const std::lock_guard lock(mutex_);
    bases_.push_back(std::move(base));
  }

  void fail(const std::string& why) {
    const std::lock_guard lock(mutex_);
    *failure_ = why;
  }

  std::optional<RecordTold> compute(std::size_t r, const Eigen::VectorXd& x, double later) {
    const auto& model = models_[r];
    const auto& record = read_->trial.records[r];
    const double late = late_at(meanings_, x, static_cast<int>(r)) + later;
    auto base = take_base();
    std::optional<Told> told;
    const Asked asked = model.asked(record, late);
    try {
      cases::Case c =
          test_case(*read_, *base, r, settings_at(*read_, meanings_, x, static_cast<int>(r)), late,
                    model.until);
      // A moved clock may carry the last reading past the end of the run.
      c.run.duration = model.until + std::max(late, 0.0) + 1;
      c.run.accuracy = accuracy_;
      told = run_asked(c, asked);
    } catch (const cases::InputError& error) {
      fail(error.sentence());
    }
    give_back(std::move(base));
    if (!told) return std::nullopt;
    if (!told->result.summary.completed) {
      fail(told->result.summary.stop_reason);
      return std::nullopt;
    }
    RecordTold out;
    for (std::size_t c = 0; c < model.channels.size(); ++c) {
      out.channels.push_back(means(model.channels[c], asked.probes[c], told->temperature[c], late));
    }
    out.data = told->melted;
    out.data.insert(out.data.end(), told->heat.begin(), told->heat.end());
    return out;
  }

  const cases::ReadTrial* read_;
  std::vector<RecordModel> models_;
  std::vector<Meaning> meanings_;
  std::shared_ptr<int> runs_;
  std::shared_ptr<std::string> failure_;
  std::shared_ptr<const std::vector<std::vector<bool>>> matters_;
  double accuracy_;
  std::mutex mutex_;
  std::vector<std::deque<Known>> memory_;
  std::vector<std::unique_ptr<cases::BaseCase>> bases_;
};

void add_unknown(const cases::FreeValue& free, int index, int record, FitProblem& out) {
  Meaning meaning;
  meaning.free = index;
  meaning.record = record;
  meaning.logarithmic = free.from > 0 && !cases::has_shifted_zero(free.unit);
  Unknown unknown;
  const auto natural = [&](double v) { return meaning.logarithmic ? std::log(v) : v; };
  unknown.low = natural(free.from);
  unknown.high = natural(free.to);
  unknown.start = natural(free.start);
  unknown.step = std::min(meaning.logarithmic ? 0.004 : 0.002 * (free.to - free.from),
                          0.2 * (unknown.high - unknown.low));
  if (free.known) {
    const double mean = free.known->mean;
    unknown.prior = fit::Prior{
        natural(mean), meaning.logarithmic ? free.known->spread / mean : free.known->spread};
    unknown.start = std::clamp(natural(mean), unknown.low, unknown.high);
  }
  out.problem.unknowns.push_back(unknown);
  out.meanings.push_back(meaning);
}

void add_late(const cases::TestRecord& record, int index, FitProblem& out) {
  if (record.packed_within <= 0) return;
  Unknown unknown;
  unknown.low = -4 * record.packed_within;
  unknown.high = 4 * record.packed_within;
  unknown.step = 0.25 * record.packed_within;
  unknown.prior = fit::Prior{0, record.packed_within};
  out.problem.unknowns.push_back(unknown);
  Meaning meaning;
  meaning.kind = Meaning::Kind::late;
  meaning.record = index;
  out.meanings.push_back(meaning);
}

void add_offset(const cases::MeasuredChannel& channel, int record, int index, FitProblem& out) {
  if (channel.offset_spread <= 0) return;
  Unknown unknown;
  unknown.low = -6 * channel.offset_spread;
  unknown.high = 6 * channel.offset_spread;
  unknown.step = channel.offset_spread;
  unknown.prior = fit::Prior{0, channel.offset_spread};
  unknown.offset_of = static_cast<int>(out.problem.series.size()) - 1;
  out.problem.unknowns.push_back(unknown);
  Meaning meaning;
  meaning.kind = Meaning::Kind::offset;
  meaning.record = record;
  meaning.channel = index;
  out.meanings.push_back(meaning);
}

}  // namespace

double number_of(const Meaning& meaning, double natural) {
  return meaning.logarithmic ? std::exp(natural) : natural;
}

std::vector<cases::Setting> settings_at(const cases::ReadTrial& read,
                                        const std::vector<Meaning>& meanings,
                                        const Eigen::VectorXd& x, int record) {
  std::vector<cases::Setting> settings;
  for (std::size_t k = 0; k < meanings.size(); ++k) {
    const auto& meaning = meanings[k];
    if (meaning.kind != Meaning::Kind::value) continue;
    if (meaning.record >= 0 && meaning.record != record) continue;
    const auto& free = read.trial.fit->free[static_cast<std::size_t>(meaning.free)];
    settings.push_back(setting_of(free, number_of(meaning, x[static_cast<Eigen::Index>(k)])));
  }
  return settings;
}

double late_at(const std::vector<Meaning>& meanings, const Eigen::VectorXd& x, int record) {
  for (std::size_t k = 0; k < meanings.size(); ++k) {
    if (meanings[k].kind == Meaning::Kind::late && meanings[k].record == record) {
      return x[static_cast<Eigen::Index>(k)];
    }
  }
  return 0;
}

void note_what_matters(const FitProblem& problem, const fit::Residuals& residuals) {
  for (std::size_t r = 0; r < problem.matters->size(); ++r) {
    for (std::size_t k = 0; k < problem.meanings.size(); ++k) {
      if (problem.meanings[k].kind != Meaning::Kind::value || problem.meanings[k].record >= 0) {
        continue;
      }
      bool moved = false;
      bool any = false;
      for (std::size_t s = 0; s < problem.places.size(); ++s) {
        if (problem.places[s].record != r) continue;
        any = true;
        moved = moved || !residuals.series_slope[s].col(static_cast<Eigen::Index>(k)).isZero(0);
      }
      (*problem.matters)[r][k] = moved || !any;
    }
  }
}

FitProblem fit_problem(const cases::ReadTrial& read) {
  FitProblem out;
  const auto& free = read.trial.fit->free;
  const int records = static_cast<int>(read.trial.records.size());
  for (std::size_t i = 0; i < free.size(); ++i) {
    if (!free[i].each_record) {
      add_unknown(free[i], static_cast<int>(i), -1, out);
      continue;
    }
    for (int r = 0; r < records; ++r) add_unknown(free[i], static_cast<int>(i), r, out);
  }
  std::vector<RecordModel> models;
  for (int r = 0; r < records; ++r) {
    const auto& record = read.trial.records[static_cast<std::size_t>(r)];
    add_late(record, r, out);
    RecordModel model;
    model.until = last_used(record);
    for (std::size_t c = 0; c < record.channels.size(); ++c) {
      const auto& channel = record.channels[c];
      const bool any = std::count(channel.used.begin(), channel.used.end(), 1) > 1;
      if (channel.probe.empty() || !any) continue;
      model.channels.push_back(averages_of(channel));
      model.probes.push_back(channel.probe);
      out.problem.series.push_back(model.channels.back().series);
      out.places.push_back({static_cast<std::size_t>(r), c});
      add_offset(channel, r, static_cast<int>(c), out);
    }
    for (const auto& w : record.weighed) out.problem.data.push_back({w.melted, w.spread});
    for (const auto& h : record.heat) out.problem.data.push_back({h.came_in, h.spread});
    models.push_back(std::move(model));
  }
  out.runs = std::make_shared<int>(0);
  out.last_failure = std::make_shared<std::string>();
  out.matters = std::make_shared<std::vector<std::vector<bool>>>(
      models.size(), std::vector<bool>(out.meanings.size(), true));
  const double accuracy = std::min(read.shared.base.run.accuracy, steady_accuracy);
  const auto fine = std::make_shared<Runner>(read, models, out, accuracy);
  const auto rough = std::make_shared<Runner>(read, std::move(models), out, rough_accuracy);
  out.moved_clock = [fine](std::size_t record, const Eigen::VectorXd& x,
                           double later) -> std::optional<ChannelMeans> {
    const auto told = fine->with_clock(record, x, later);
    return told ? std::optional(told->channels) : std::nullopt;
  };
  out.problem.model = [fine](const Eigen::VectorXd& x) { return (*fine)(x); };
  out.problem.rough = [rough](const Eigen::VectorXd& x) { return (*rough)(x); };
  return out;
}

}  // namespace thawline::solver::trial
