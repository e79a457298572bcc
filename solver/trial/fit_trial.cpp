#include "solver/trial/fit_trial.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <cmath>
#include <stdexcept>

#include "cases/input_error.hpp"
#include "cases/latin_hypercube.hpp"
#include "solver/fit/estimate.hpp"
#include "solver/results/estimate.hpp"
#include "solver/trial/fit_problem.hpp"
#include "solver/trial/record_flags.hpp"
#include "solver/trial/test_case.hpp"
#include "solver/trial/what_is_told.hpp"

namespace thawline::solver::trial {

namespace {

/// Hours of a record that are worth one independent piece of news, as a rule.
constexpr double hours_a_piece = 8;

/// Refuses more unknowns than the records have news for.
void refuse_too_many(const cases::ReadTrial& read, const FitProblem& problem) {
  double pieces = static_cast<double>(problem.problem.data.size());
  for (const auto& series : problem.problem.series) {
    pieces += std::max(
        1.0, std::floor((series.time.back() - series.time.front()) / 3600 / hours_a_piece));
  }
  double sought = 0;
  for (const auto& unknown : problem.problem.unknowns) sought += unknown.prior ? 0 : 1;
  if (sought <= pieces) return;
  throw cases::InputError(fmt::format(
      "{}: fit: {:.0f} values are free and nothing is known of them, but the records hold {:.0f} "
      "independent pieces of news (a channel brings one in {:.0f} h); free fewer values, or say "
      "what "
      "is 'known'",
      read.trial.file, sought, pieces, hours_a_piece));
}

/// Refuses a value that moves no reading, at the first start that can be computed.
void refuse_idle(const cases::ReadTrial& read, const FitProblem& problem) {
  Eigen::VectorXd x(static_cast<Eigen::Index>(problem.problem.unknowns.size()));
  for (Eigen::Index k = 0; k < x.size(); ++k) {
    const auto& unknown = problem.problem.unknowns[static_cast<std::size_t>(k)];
    x[k] = std::clamp(unknown.start, unknown.low, unknown.high);
  }
  const auto residuals = fit::residuals_at(problem.problem, x, fit::Slopes::central);
  if (!residuals) return;                // the search tells why
  constexpr double least_change = 2e-3;  // K, over a tenth of the bounds
  for (Eigen::Index k = 0; k < x.size(); ++k) {
    const auto& meaning = problem.meanings[static_cast<std::size_t>(k)];
    if (meaning.kind != Meaning::Kind::value) continue;
    const auto& unknown = problem.problem.unknowns[static_cast<std::size_t>(k)];
    const double reach = (unknown.high - unknown.low) / 10;
    double change = 0;
    for (const auto& slope : residuals->series_slope) {
      change = std::max(change, reach * slope.col(k).cwiseAbs().maxCoeff());
    }
    for (Eigen::Index i = 0; i < residuals->data.size(); ++i) {
      const double spread = problem.problem.data[static_cast<std::size_t>(i)].spread;
      change = std::max(change, reach * std::abs(residuals->data_slope(i, k)) / spread);
    }
    if (change >= least_change) continue;
    const auto& free = read.trial.fit->free[static_cast<std::size_t>(meaning.free)];
    throw cases::InputError(fmt::format(
        "{}: '{}' changes nothing that the record{} hold{}; take it out", free.place, free.name,
        meaning.record < 0
            ? "s"
            : fmt::format(" '{}'",
                          read.trial.records[static_cast<std::size_t>(meaning.record)].name),
        meaning.record < 0 ? "" : "s"));
  }
}

std::string name_of(const cases::ReadTrial& read, const Meaning& meaning) {
  const auto record = [&] {
    return read.trial.records[static_cast<std::size_t>(meaning.record)].name;
  };
  switch (meaning.kind) {
    case Meaning::Kind::offset:
      return fmt::format("offset of '{}' in '{}'",
                         read.trial.records[static_cast<std::size_t>(meaning.record)]
                             .channels[static_cast<std::size_t>(meaning.channel)]
                             .channel,
                         record());
    case Meaning::Kind::late:
      return fmt::format("clock of '{}' late", record());
    case Meaning::Kind::value:
      break;
  }
  const auto& free = read.trial.fit->free[static_cast<std::size_t>(meaning.free)];
  return meaning.record < 0 ? free.name : fmt::format("{} in '{}'", free.name, record());
}

Learnt learnt_of(const cases::ReadTrial& read, const FitProblem& problem,
                 const fit::Estimated& estimated, std::size_t k) {
  const auto& meaning = problem.meanings[k];
  const auto& unknown = problem.problem.unknowns[k];
  Learnt out;
  out.name = name_of(read, meaning);
  out.free = meaning.free;
  out.record = meaning.record;
  out.shared = meaning.kind == Meaning::Kind::value && meaning.record < 0;
  out.logarithmic = meaning.logarithmic;
  out.unit = meaning.kind == Meaning::Kind::offset ? "K" : "s";
  if (meaning.kind == Meaning::Kind::value) {
    const auto& free = read.trial.fit->free[static_cast<std::size_t>(meaning.free)];
    out.path = free.path.text();
    out.unit = free.unit;
    out.known = free.known;
  } else {
    out.known = cases::KnownValue{unknown.prior->mean, unknown.prior->spread};
  }
  out.natural = estimated.x[static_cast<Eigen::Index>(k)];
  const auto number = [&](double natural) { return number_of(meaning, natural); };
  out.from = number(unknown.low);
  out.to = number(unknown.high);
  out.value = number(out.natural);
  out.low = number(estimated.ends[k].low);
  out.high = number(estimated.ends[k].high);
  out.naive_low = number(estimated.naive[k].low);
  out.naive_high = number(estimated.naive[k].high);
  if (unknown.prior) out.pull = (out.natural - unknown.prior->mean) / unknown.prior->spread;
  return out;
}

void set_spread(const fit::Estimated& estimated, Fitted& out) {
  const Eigen::Index n = estimated.x.size();
  // As wide as the intervals, which count the few pieces of news there are.
  const double wider = estimated.quantile / 1.96;
  Eigen::VectorXd deviation(n);
  for (Eigen::Index k = 0; k < n; ++k) {
    deviation[k] = std::sqrt(std::max(estimated.covariance(k, k), 1e-300));
  }
  out.correlation = deviation.cwiseInverse().asDiagonal() * estimated.covariance *
                    deviation.cwiseInverse().asDiagonal();
  Eigen::VectorXd spread(n);
  for (Eigen::Index k = 0; k < n; ++k) {
    const auto& ends = estimated.ends[static_cast<std::size_t>(k)];
    spread[k] = std::min(wider * deviation[k], std::max((ends.high - ends.low) / 3.92, 1e-12));
  }
  Eigen::MatrixXd tied = out.correlation;
  tied.diagonal().array() += 1e-9;
  const Eigen::MatrixXd lower = tied.llt().matrixL();
  out.root = spread.asDiagonal() * lower;
}

/// UA and frozen energy over UA of every record, by draws from the joint spread.
void add_derived(const cases::ReadTrial& read, const FitProblem& problem,
                 const fit::Estimated& estimated, Fitted& out) {
  constexpr std::uint64_t draws = 100;
  const cases::BaseCase base = cases::base_case(read.shared.plan);
  const auto n = estimated.x.size();
  const auto at = [&](std::size_t r, const Eigen::VectorXd& x) {
    const cases::Case c = test_case(
        read, base, r, settings_at(read, problem.meanings, x, static_cast<int>(r)), 0, 1e300);
    const Estimate e = solver::estimate(c, mesh::build_network(c));
    return std::pair{e.conductance, e.frozen_energy / 1e3 / 3.6 / e.conductance};
  };
  for (std::size_t r = 0; r < read.trial.records.size(); ++r) {
    const auto centre = at(r, estimated.x);
    std::vector<double> ua;
    std::vector<double> ratio;
    for (std::uint64_t draw = 0; draw < draws; ++draw) {
      Eigen::VectorXd z(n);
      for (Eigen::Index k = 0; k < n; ++k) {
        z[k] = quantile(boost::math::normal(),
                        cases::latin_hypercube(5, static_cast<std::size_t>(k), draws, draw));
      }
      Eigen::VectorXd x = estimated.x + out.root * z;
      for (Eigen::Index k = 0; k < n; ++k) {
        const auto& unknown = problem.problem.unknowns[static_cast<std::size_t>(k)];
        x[k] = std::clamp(x[k], unknown.low, unknown.high);
      }
      try {
        const auto one = at(r, x);
        ua.push_back(one.first);
        ratio.push_back(one.second);
      } catch (const cases::InputError&) {
        continue;  // a draw that no case can have
      }
    }
    const auto spread = [](std::vector<double>& values, double share) {
      std::sort(values.begin(), values.end());
      const double place = share * static_cast<double>(values.size() - 1);
      return values[static_cast<std::size_t>(std::lround(place))];
    };
    if (ua.empty()) continue;
    const auto& name = read.trial.records[r].name;
    out.derived.push_back({fmt::format("UA in '{}'", name), "W/K", centre.first, spread(ua, 0.025),
                           spread(ua, 0.975)});
    if (centre.second <= 0) continue;
    out.derived.push_back({fmt::format("frozen energy / UA in '{}'", name), "K h", centre.second,
                           spread(ratio, 0.025), spread(ratio, 0.975)});
  }
}

void add_followed(const cases::ReadTrial& read, const FitProblem& problem,
                  const fit::Estimated& estimated, Fitted& out) {
  constexpr double plain_misfit = 0.6;  // K
  constexpr double many_scatters = 4;
  for (const auto& record : read.trial.records) out.followed.emplace_back(record.channels.size());
  for (std::size_t s = 0; s < problem.places.size(); ++s) {
    const auto [r, c] = problem.places[s];
    const auto& channel = read.trial.records[r].channels[c];
    const auto& residual = estimated.residuals.series[s];
    ChannelFit& fit = out.followed[r][c];
    fit.rms = std::sqrt(residual.squaredNorm() / static_cast<double>(residual.size()));
    fit.scatter = std::hypot(channel.noise, channel.resolution / std::sqrt(12.0));
    fit.correlation = fit::neighbour_correlation(problem.problem.series[s], estimated.errors[s]);
    fit.spacing = fit::spacing_of(problem.problem.series[s]);
    fit.memory = estimated.errors[s].memory;
    fit.deviation = estimated.errors[s].deviation;
    if (fit.rms > plain_misfit && fit.rms > many_scatters * fit.scatter) {
      out.follows = false;
      out.misfit = std::max(out.misfit, fit.rms);
    }
  }
}

}  // namespace

Fitted fit_trial(const cases::ReadTrial& read) {
  const FitProblem problem = fit_problem(read);
  refuse_too_many(read, problem);
  refuse_idle(read, problem);
  fit::EstimateOptions options;
  options.starts = read.trial.fit->starts;
  const fit::Estimated estimated = fit::estimate(problem.problem, options);
  if (!estimated.found) {
    throw std::runtime_error(fmt::format(
        "no case within the bounds could be computed; the last one: {}", *problem.last_failure));
  }
  Fitted out;
  out.starts = estimated.starts;
  out.agreeing = estimated.agreeing;
  for (std::size_t k = 0; k < problem.meanings.size(); ++k) {
    out.values.push_back(learnt_of(read, problem, estimated, k));
  }
  set_spread(estimated, out);
  for (std::size_t r = 0; r < read.trial.records.size(); ++r) {
    out.settings.push_back(settings_at(read, problem.meanings, estimated.x, static_cast<int>(r)));
    out.late.push_back(late_at(problem.meanings, estimated.x, static_cast<int>(r)));
  }
  out.shared_settings = settings_at(read, problem.meanings, estimated.x, -1);
  add_derived(read, problem, estimated, out);
  add_followed(read, problem, estimated, out);
  bool weighed = false;
  for (const auto& record : read.trial.records) weighed = weighed || !record.weighed.empty();
  mark_what_is_told(out, weighed);
  out.flags = record_flags(read, overlay(read, out.settings, out.late), problem, estimated);
  out.runs = *problem.runs;
  return out;
}

}  // namespace thawline::solver::trial
