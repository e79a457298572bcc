#include "solver/batch/write_spread.hpp"

#include <optional>

#include "solver/batch/table_layout.hpp"
#include "solver/history/h5_file.hpp"

namespace thawline::solver::batch {

namespace {

using history::Label;

/// Rows of `width` numbers, one a combination.
struct Matrix {
  std::size_t width = 0;
  std::vector<double> values;
};

void add_matrix(H5::Group& group, const std::string& name, const Matrix& matrix, Kind kind,
                const Label& label) {
  const auto type = stored_type({name, label.units, label.long_name, kind, {}});
  H5::DataSet dataset =
      history::add_matrix(group, name, type, H5::PredType::NATIVE_DOUBLE, matrix.values.data(),
                          matrix.values.size() / matrix.width, matrix.width, label);
  const double fill = kind == Kind::number ? blank : blank_whole;
  dataset.createAttribute("_FillValue", type, H5::DataSpace(H5S_SCALAR))
      .write(H5::PredType::NATIVE_DOUBLE, &fill);
}

/// What the limits of all combinations come to.
class LimitWriter {
 public:
  LimitWriter(const H5::Group& group, const Spread& spread, std::size_t limit)
      : group_(group), spread_(spread), limit_(limit) {}

  void write() {
    add_count("ended", "cases that passed the limit", [](const auto& s) { return s.ended; });
    add_count("outlasted", "cases still within the limit at the end of the run",
              [](const auto& s) { return s.outlasted; });
    add_count("never_within", "cases that never met the limit",
              [](const auto& s) { return s.never_within; });
    add_count("failed", "cases that failed, left out", [](const auto& s) { return s.failed; });
    add_held("quantile", "quantile of the hold time",
             [](const HeldQuantile& q) { return std::optional(q.value); });
    add_held("quantile_low", "low end of its 95 % interval", [](const HeldQuantile& q) {
      return q.bounded_below ? std::optional(q.low) : std::nullopt;
    });
    add_held("quantile_high", "high end of its 95 % interval", [](const HeldQuantile& q) {
      return q.bounded_above ? std::optional(q.high) : std::nullopt;
    });
    if (spread_.inputs.empty()) return;
    add_count("rows", "rows of the sample used for the indices",
              [](const auto& s) { return s.rows; });
    add_estimate("first_order", "share of the variance due to the input by itself",
                 [](const auto& index) { return index.first; });
    add_estimate("total", "share of the variance that has to do with the input",
                 [](const auto& index) { return index.total; });
  }

 private:
  template <typename Of>
  void add_count(const std::string& name, const std::string& long_name, Of of) {
    std::vector<int> counts;
    for (const auto& limits : spread_.combinations) {
      counts.push_back(static_cast<int>(of(limits[limit_])));
    }
    history::add_integers(group_, name, counts, {"1", long_name});
  }

  /// Hours and what they mean; blank where there is no such quantile.
  template <typename Of>
  void add_held(const std::string& name, const std::string& long_name, Of of) {
    Matrix hours{quantile_shares.size(), {}};
    Matrix outcomes{quantile_shares.size(), {}};
    for (const auto& limits : spread_.combinations) {
      for (std::size_t k = 0; k < quantile_shares.size(); ++k) {
        const auto& all = limits[limit_].quantiles;
        const auto held = all.empty() ? std::nullopt : of(all[k]);
        hours.values.push_back(held ? held->hours : blank);
        outcomes.values.push_back(held ? held->outcome : blank_whole);
      }
    }
    add_matrix(group_, name, hours, Kind::number, {"h", long_name});
    add_matrix(group_, name + "_outcome", outcomes, Kind::word,
               {"1", long_name + ": 0 ended, 1 outlasted, 2 never_within"});
  }

  template <typename Of>
  void add_estimate(const std::string& name, const std::string& long_name, Of of) {
    add_index(name, long_name, [of](const auto& index) { return of(index).value; });
    add_index(name + "_low", "low end of its 95 % interval",
              [of](const auto& index) { return of(index).low; });
    add_index(name + "_high", "high end of its 95 % interval",
              [of](const auto& index) { return of(index).high; });
  }

  template <typename Of>
  void add_index(const std::string& name, const std::string& long_name, Of of) {
    Matrix matrix{spread_.inputs.size(), {}};
    for (const auto& limits : spread_.combinations) {
      const auto& indices = limits[limit_].indices;
      for (std::size_t i = 0; i < spread_.inputs.size(); ++i) {
        matrix.values.push_back(indices.empty() ? blank : of(indices[i]));
      }
    }
    add_matrix(group_, name, matrix, Kind::number, {"1", long_name});
  }

  H5::Group group_;
  const Spread& spread_;
  std::size_t limit_;
};

/// How the combinations of one limit differ in pairs.
void write_pairs(H5::Group group, const std::vector<Paired>& pairs) {
  std::vector<int> first, second, longer, shorter, alike, unknown;
  Matrix difference{quantile_shares.size(), {}};
  Matrix bound{quantile_shares.size(), {}};
  for (const Paired& pair : pairs) {
    first.push_back(static_cast<int>(pair.first + 1));
    second.push_back(static_cast<int>(pair.second + 1));
    longer.push_back(static_cast<int>(pair.longer));
    shorter.push_back(static_cast<int>(pair.shorter));
    alike.push_back(static_cast<int>(pair.alike));
    unknown.push_back(static_cast<int>(pair.unknown));
    for (std::size_t k = 0; k < quantile_shares.size(); ++k) {
      const bool there = k < pair.quantiles.size();
      difference.values.push_back(there ? pair.quantiles[k].hours : blank);
      const int kind = !there                       ? -1
                       : pair.quantiles[k].at_least ? 1
                       : pair.quantiles[k].at_most  ? 2
                                                    : 0;
      bound.values.push_back(kind);
    }
  }
  history::add_integers(group, "first", first, {"1", "combination"});
  history::add_integers(group, "second", second, {"1", "combination it is held against"});
  history::add_integers(group, "first_longer", longer,
                        {"1", "samples in which the first held longer"});
  history::add_integers(group, "second_longer", shorter,
                        {"1", "samples in which the second held longer"});
  history::add_integers(group, "alike", alike, {"1", "samples in which both held alike"});
  history::add_integers(group, "unknown", unknown,
                        {"1", "samples in which both outlasted the run"});
  add_matrix(group, "difference", difference, Kind::number,
             {"h", "quantiles of the first's hold time less the second's"});
  add_matrix(group, "difference_bound", bound, Kind::word,
             {"1", "0 as it is, 1 at least so much, 2 at most"});
}

}  // namespace

void write_spread(H5::H5File& file, const Spread& spread) {
  H5::Group group = file.createGroup("spread");
  history::add_doubles(group, "share", {quantile_shares.begin(), quantile_shares.end()},
                       {"1", "share of the cases a quantile bounds"});
  if (!spread.inputs.empty()) {
    history::add_strings(group, "inputs", spread.inputs, {"1", "names of the ranked inputs"});
  }
  H5::Group limits = group.createGroup("limits");
  for (std::size_t i = 0; i < spread.limits.size(); ++i) {
    LimitWriter(limits.createGroup(spread.limits[i]), spread, i).write();
    if (spread.pairs.size() > i && !spread.pairs[i].empty()) {
      const H5::Group group_of_limit = limits.openGroup(spread.limits[i]);
      write_pairs(group_of_limit.createGroup("paired"), spread.pairs[i]);
    }
  }
}

}  // namespace thawline::solver::batch
