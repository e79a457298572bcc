#include "solver/results/run_case.hpp"

#include "solver/results/freeze_coolants.hpp"

namespace thawline::solver {

namespace {

/// Passes every instant and step to all that watch.
class Board : public Watcher {
 public:
  Board(const cases::Case& c, const mesh::Network& network, const Watchers& others)
      : case_(c),
        network_(network),
        reader_(network),
        others_(others),
        heat_(network.paths.size(), 0.0) {
    ends_.assign(c.limits.size(), EndWatch(reader_));
    for (const auto& limit : c.limits) {
      limits_.emplace_back(limit, network, cases::known_until(c.surroundings.air));
    }
    for (std::size_t i = 0; i < network.items.size(); ++i) {
      items_.emplace_back(network, static_cast<int>(i));
    }
  }

  void at_instant(const StepView& view) override {
    reader_.begin(view);
    for (auto& limit : limits_) limit.at_instant(view);
    look_at_ends(view);
    for (auto& item : items_) item.at_instant(view);
    for (auto* other : others_) other->at_instant(view);
  }

  void after_step(const StepView& view) override {
    for (auto& limit : limits_) limit.after_step(view);
    look_at_ends(view);
    for (auto& item : items_) item.after_step(view);
    for (std::size_t i = 0; i < heat_.size(); ++i) {
      heat_[i] = (*view.heat_after)[static_cast<Eigen::Index>(i)];
    }
    for (auto* other : others_) other->after_step(view);
  }

  [[nodiscard]] RunResult result(const Summary& summary) const {
    RunResult result;
    result.summary = summary;
    for (const auto& limit : limits_) result.limits.push_back(limit.result());
    for (const auto& item : items_) result.items.push_back(item.result());
    for (std::size_t i = 0; i < limits_.size(); ++i) {
      result.ended.push_back(
          what_ended(case_, network_, result.limits[i], result.items, ends_[i].situation()));
    }
    result.heat_by_path = heat_;
    return result;
  }

 private:
  void look_at_ends(const StepView& view) {
    for (std::size_t i = 0; i < ends_.size(); ++i) ends_[i].look(view, limits_[i]);
  }

  const cases::Case& case_;
  const mesh::Network& network_;
  SituationReader reader_;
  std::vector<LimitWatch> limits_;
  std::vector<EndWatch> ends_;
  std::vector<ItemWatch> items_;
  Watchers others_;
  std::vector<double> heat_;
};

}  // namespace

RunResult run_network(const cases::Case& c, const mesh::Network& network,
                      const Watchers& watchers) {
  HeatBalance balance(network);
  const Schedule schedule = make_schedule(c);
  MarchOptions options;
  options.accuracy = c.run.accuracy;
  Board board(c, network, watchers);
  const Summary summary = march(balance, schedule, options, board);
  return board.result(summary);
}

RunResult run_case(const cases::Case& c) {
  cases::Case settled = c;
  settle_starts(settled);
  return run_network(settled, mesh::build_network(settled), {});
}

}  // namespace thawline::solver
