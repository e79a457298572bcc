#include "solver/linear/crew.hpp"

#include <omp.h>

namespace thawline::solver {

namespace {

constexpr int loops = 16;
constexpr double long_loop = 2e-5;  ///< s an empty loop; 1e-6 to 3e-6 on a machine that is free
constexpr int rest_when_free = 4, rest_when_busy = 100;

}  // namespace

Crew::Crew() : most_(omp_get_max_threads()) {}

Crew::~Crew() { omp_set_num_threads(most_); }

void Crew::consider() {
  if (most_ == 1 || rest_-- > 0) return;
  omp_set_num_threads(most_);
  const double begin = omp_get_wtime();
  double spent = 0;
  for (int i = 0; i < loops && spent <= loops * long_loop; ++i) {
#pragma omp parallel
    {
    }
    spent = omp_get_wtime() - begin;
  }
  const bool busy = spent > loops * long_loop;
  if (busy) omp_set_num_threads(1);
  rest_ = busy ? rest_when_busy : rest_when_free;
}

}  // namespace thawline::solver
