#pragma once

#include "solver/march/march.hpp"

namespace thawline::program {

/// A bar on standard error while a run goes on; silent when that is no terminal.
class Progress : public solver::Watcher {
 public:
  Progress(double duration, bool wanted);
  ~Progress() override;
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;
  Progress(Progress&&) = delete;
  Progress& operator=(Progress&&) = delete;

  void at_instant(const solver::StepView& view) override;
  void after_step(const solver::StepView& view) override;

 private:
  double duration_;
  bool shown_;
  int last_ = -1;
};

}  // namespace thawline::program
