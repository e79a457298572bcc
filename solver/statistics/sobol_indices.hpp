#pragma once

#include <cstddef>
#include <vector>

namespace thawline::solver::statistics {

/// An estimate with its 95 % interval.
struct Estimated {
  double value = 0;
  double low = 0, high = 0;
};

/// How much one input matters, as shares of the variance of the answer.
struct SobolIndex {
  Estimated first;  ///< by itself
  Estimated total;  ///< with all it does together with others
};

/// Sobol indices of `inputs` inputs from answers in the order of `cases::saltelli_point`: rows of
/// A, B, A with the first coordinate from B, ... First order: Σ (B_j − mean)(AB_ij − A_j) / N V
/// (A. Saltelli et al., Computer Physics Communications 181 (2010) 259-270, table 2 (b); taking the
/// mean off changes no expectation and less noise is left). Total: Σ (A_j − AB_ij)² / 2 N V
/// (M. J. W. Jansen, Computer Physics Communications 117 (1999) 35-43). V is the variance of A and
/// B together. Intervals: percentiles of a bootstrap of the rows (G. E. B. Archer, A. Saltelli, I.
/// M. Sobol', J. Stat. Comput. Simul. 58 (1997) 99-120), the same every time; on the wide side for
/// a Sobol sequence. Empty with fewer than two rows or when the answer does not vary.
[[nodiscard]] std::vector<SobolIndex> sobol_indices(const std::vector<double>& answers,
                                                    std::size_t inputs);

}  // namespace thawline::solver::statistics
