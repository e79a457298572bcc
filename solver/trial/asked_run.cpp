#include "solver/trial/asked_run.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "solver/results/probes.hpp"

namespace thawline::solver::trial {

namespace {

constexpr double not_told = std::numeric_limits<double>::quiet_NaN();

/// Notes temperatures, melt and heat at the instants asked for, inside the steps.
class Notes : public Watcher {
 public:
  Notes(const mesh::Network& network, const Asked& asked, Told& told)
      : network_(&network), asked_(&asked), told_(&told), next_(asked.probes.size(), 0) {
    for (const auto& at : asked.probes) {
      told.temperature.emplace_back(at.time.size(), not_told);
      const auto found =
          std::find_if(network.probes.begin(), network.probes.end(),
                       [&at](const mesh::Probe& probe) { return probe.name == at.probe; });
      probes_.push_back(found == network.probes.end() ? nullptr : &*found);
    }
    for (const auto& at : asked.melted) {
      const auto found =
          std::find_if(network.items.begin(), network.items.end(),
                       [&at](const mesh::Item& item) { return item.name == at.item; });
      items_.push_back(static_cast<int>(found - network.items.begin()));
    }
    told.melted.assign(asked.melted.size(), not_told);
    told.heat.assign(asked.heat.size(), not_told);
  }

  void at_instant(const StepView& view) override {
    if (view.begin == 0) note(view, 0, 0);
  }
  void after_step(const StepView& view) override { note(view, view.begin, view.end); }

 private:
  void note(const StepView& view, double begin, double end) {
    for (std::size_t p = 0; p < probes_.size(); ++p) note_probe(view, p, begin, end);
    const auto inside = [&](double time) { return time >= begin && time <= end; };
    for (std::size_t i = 0; i < items_.size(); ++i) {
      const double time = asked_->melted[i].time;
      if (!inside(time) || items_[i] >= static_cast<int>(network_->items.size())) continue;
      const auto& item = network_->items[static_cast<std::size_t>(items_[i])];
      const double fraction = item_liquid_fraction(view, item, items_[i], time);
      if (fraction >= 0) told_->melted[i] = fraction * item.mass;
    }
    for (std::size_t i = 0; i < asked_->heat.size(); ++i) {
      const double time = asked_->heat[i];
      if (!inside(time)) continue;
      double sum = 0;
      for (std::size_t path = 0; path < network_->paths.size() && end > begin; ++path) {
        sum += view.heat(static_cast<int>(path), time);
      }
      told_->heat[i] = sum;
    }
  }

  void note_probe(const StepView& view, std::size_t p, double begin, double end) {
    const auto& times = asked_->probes[p].time;
    std::size_t& next = next_[p];
    while (next < times.size() && times[next] < begin) ++next;
    for (; next < times.size() && times[next] <= end; ++next) {
      if (probes_[p] == nullptr || !view.balance->present(probes_[p]->item)) continue;
      told_->temperature[p][next] = probe_temperature(view, *probes_[p], times[next]);
    }
  }

  const mesh::Network* network_;
  const Asked* asked_;
  Told* told_;
  std::vector<const mesh::Probe*> probes_;
  std::vector<int> items_;
  std::vector<std::size_t> next_;
};

}  // namespace

Told run_asked(const cases::Case& c, const Asked& asked) {
  Told told;
  const mesh::Network network = mesh::build_network(c);
  Notes notes(network, asked, told);
  told.result = run_network(c, network, {&notes});
  return told;
}

}  // namespace thawline::solver::trial
