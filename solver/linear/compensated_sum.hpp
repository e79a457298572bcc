#pragma once

#include <cmath>

namespace thawline::solver {

/// A sum that keeps what each addition rounds off (Neumaier 1974): its error is that of the result
/// alone, however many terms there are. A box of a million cells stores 10⁶ J, of which a short run
/// exchanges a few.
class CompensatedSum {
 public:
  void add(double term) {
    const double sum = sum_ + term;
    lost_ += std::abs(sum_) >= std::abs(term) ? (sum_ - sum) + term : (term - sum) + sum_;
    sum_ = sum;
  }
  [[nodiscard]] double value() const { return sum_ + lost_; }

 private:
  double sum_ = 0, lost_ = 0;
};

}  // namespace thawline::solver
