#include "solver/trial/write_trial.hpp"

#include <fmt/format.h>

#include <cmath>
#include <limits>

#include "solver/history/h5_file.hpp"
#include "solver/history/provenance.hpp"
#include "solver/history/whole_h5.hpp"
#include "solver/history/written_file.hpp"

namespace thawline::solver::trial {

namespace h = history;
using h::FileKind;

namespace {

constexpr double not_there = std::numeric_limits<double>::quiet_NaN();

double or_none(const std::optional<double>& value) { return value.value_or(not_there); }
double or_none(double time) { return time < 0 ? not_there : time; }

std::string number_name(std::size_t i) { return fmt::format("{:03}", i + 1); }

void add_channel(H5::Group& group, const cases::MeasuredChannel& channel,
                 const ChannelOverlay& over) {
  h::write_text(group, "name", channel.channel);
  h::write_text(group, "probe", channel.probe.empty() ? " " : channel.probe);
  h::add_doubles(group, "time", channel.time, {"s", "time since packing"});
  h::add_doubles(group, "measured", channel.value, {"K", "measured, known offset taken off"});
  h::add_doubles(group, "computed", over.computed, {"K", "computed at the readings"});
  std::vector<int> used(channel.used.begin(), channel.used.end());
  h::add_integers(group, "used", used, {"1", "whether the reading counts"});
  h::add_number(group, "scatter", std::hypot(channel.noise, channel.resolution / std::sqrt(12.0)),
                {"K", "noise and rounding of one reading"});
}

void add_hold(H5::Group& group, const HoldPair& hold) {
  h::write_text(group, "name", hold.computed.limit.name);
  h::write_text(group, "side", cases::word_of(hold.computed.limit.side));
  h::add_number(group, "limit", hold.computed.limit.temperature, {"K", "limit"});
  h::add_doubles(group, "computed",
                 {or_none(hold.computed.chill_time), or_none(hold.computed.end_time)},
                 {"s", "chill and end as computed"});
  std::vector<double> measured(4, not_there);
  if (const auto& m = hold.measured) {
    measured = {or_none(m->chill_time), or_none(m->end_time), m->chill_deviation, m->end_deviation};
  }
  h::add_doubles(group, "measured", measured,
                 {"s", "chill and end as measured, their standard deviations"});
}

void add_record(H5::Group& group, const cases::TestRecord& record, const RecordOverlay& over) {
  h::write_text(group, "name", record.name);
  h::write_text(group, "file", record.file);
  h::add_number(group, "duration", over.duration, {"s", "length of the run"});
  std::vector<double> left;
  std::vector<std::string> why;
  for (const auto& part : record.left_out) {
    left.insert(left.end(), {part.from, part.to});
    why.push_back(part.why);
  }
  h::add_doubles(group, "left_out", left, {"s", "left out, from and to in turn"});
  if (!why.empty()) h::add_strings(group, "left_out_why", why, {"1", "why it is left out"});
  H5::Group channels = group.createGroup("channels");
  for (std::size_t k = 0; k < record.channels.size(); ++k) {
    H5::Group channel = channels.createGroup(number_name(k));
    add_channel(channel, record.channels[k], over.channels[k]);
  }
  H5::Group holds = group.createGroup("holds");
  for (std::size_t k = 0; k < over.holds.size(); ++k) {
    H5::Group hold = holds.createGroup(number_name(k));
    add_hold(hold, over.holds[k]);
  }
}

void add_fit(H5::Group& group, const Fitted& fit) {
  std::vector<std::string> names;
  std::vector<std::string> paths;
  std::vector<std::string> units;
  std::vector<int> natural;
  std::vector<int> told;
  std::vector<int> shared;
  std::vector<double> value;
  std::vector<double> low;
  std::vector<double> high;
  std::vector<double> from;
  std::vector<double> to;
  std::vector<double> centre;
  for (const auto& learnt : fit.values) {
    names.push_back(learnt.name);
    paths.push_back(learnt.path.empty() ? " " : learnt.path);
    units.push_back(learnt.unit.empty() ? "1" : learnt.unit);
    natural.push_back(learnt.logarithmic ? 1 : 0);
    told.push_back(learnt.told ? 1 : 0);
    shared.push_back(learnt.shared ? 1 : 0);
    value.push_back(learnt.value);
    low.push_back(learnt.low);
    high.push_back(learnt.high);
    from.push_back(learnt.from);
    to.push_back(learnt.to);
    centre.push_back(learnt.natural);
  }
  h::add_strings(group, "names", names, {"1", "name of each value"});
  h::add_strings(group, "paths", paths, {"1", "place in the case"});
  h::add_strings(group, "units", units, {"1", "unit of each value"});
  h::add_integers(group, "natural", natural, {"1", "1 where the logarithm is fitted"});
  h::add_integers(group, "told", told, {"1", "1 where the records tell the value"});
  h::add_integers(group, "shared", shared, {"1", "1 for a value of the case"});
  h::add_doubles(group, "value", value, {"1", "fitted value, in its unit"});
  h::add_doubles(group, "low", low, {"1", "lower end of the 95 % interval, in its unit"});
  h::add_doubles(group, "high", high, {"1", "upper end of the 95 % interval, in its unit"});
  h::add_doubles(group, "from", from, {"1", "lower bound, in its unit"});
  h::add_doubles(group, "to", to, {"1", "upper bound, in its unit"});
  h::add_doubles(group, "centre", centre, {"1", "fitted value on the natural scale"});
  const auto n = static_cast<Eigen::Index>(fit.values.size());
  const Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor> root = fit.root;
  h::add_matrix(group, "root", H5::PredType::IEEE_F64LE, H5::PredType::NATIVE_DOUBLE, root.data(),
                static_cast<hsize_t>(n), static_cast<hsize_t>(n),
                {"1", "lower triangle that makes draws on the natural scale"});
}

void write_all(H5::H5File& file, const cases::ReadTrial& read,
               const std::vector<RecordOverlay>& overlays, const Fitted* fit) {
  const auto from = h::provenance();
  H5::Group root = file.openGroup("/");
  h::write_integer(root, "trial_version", trial_version);
  h::write_text(root, "program", from.program);
  h::write_text(root, "program_version", from.version);
  h::write_text(root, "commit", from.commit);
  h::write_text(root, "title", read.trial.title);
  h::write_text(root, "kind", fit == nullptr ? "overlay" : "fit");
  H5::Group texts = file.createGroup("trial");
  auto text = h::add_string(texts, "text", read.trial.text, {"1", "the trial as read"});
  h::write_text(text, "file", read.trial.file);
  auto base = h::add_string(texts, "case", read.shared.plan.base.text, {"1", "the case as read"});
  h::write_text(base, "file", read.shared.plan.base.file);
  H5::Group records = file.createGroup("records");
  for (std::size_t r = 0; r < overlays.size(); ++r) {
    H5::Group record = records.createGroup(number_name(r));
    add_record(record, read.trial.records[r], overlays[r]);
  }
  if (fit == nullptr) return;
  H5::Group group = file.createGroup("fit");
  add_fit(group, *fit);
}

}  // namespace

void check_trial_name(const std::string& file) {
  h::refuse_foreign(file, FileKind::trial);
  h::refuse_foreign_beginning(file, FileKind::trial);
}

void write_trial(const std::string& file, const cases::ReadTrial& read,
                 const std::vector<RecordOverlay>& overlays, const Fitted* fit) {
  h::write_whole_h5(file, FileKind::trial, trial_version,
                    [&](H5::H5File& h5) { write_all(h5, read, overlays, fit); });
}

}  // namespace thawline::solver::trial
