#pragma once

#include <sundials/sundials_context.h>
#include <sundials/sundials_linearsolver.h>
#include <sundials/sundials_matrix.h>
#include <sundials/sundials_nvector.h>

#include <memory>
#include <stdexcept>
#include <string>

/// SUNDIALS' objects, each freed once.
namespace thawline::validation {

inline void check(int flag, const char* what) {
  if (flag < 0) throw std::runtime_error(std::string("SUNDIALS: ") + what);
}

struct Free {
  void operator()(SUNContext context) const { SUNContext_Free(&context); }
  void operator()(N_Vector vector) const { N_VDestroy(vector); }
  void operator()(SUNMatrix matrix) const { SUNMatDestroy(matrix); }
  void operator()(SUNLinearSolver solver) const { SUNLinSolFree(solver); }
};

using Context = std::unique_ptr<_SUNContext, Free>;
using Vector = std::unique_ptr<_generic_N_Vector, Free>;
using Matrix = std::unique_ptr<_generic_SUNMatrix, Free>;
using LinearSolver = std::unique_ptr<_generic_SUNLinearSolver, Free>;

[[nodiscard]] inline Context make_context() {
  SUNContext context = nullptr;
  check(SUNContext_Create(nullptr, &context), "context");
  return Context(context);
}

}  // namespace thawline::validation
