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

/// A matrix of one's own for SUNDIALS: `content` is not owned and found again by `content_of`.
[[nodiscard]] inline Matrix make_own_matrix(void* content, SUNContext context) {
  SUNMatrix matrix = SUNMatNewEmpty(context);
  matrix->ops->getid = [](SUNMatrix) { return SUNMATRIX_CUSTOM; };
  matrix->ops->zero = [](SUNMatrix) { return 0; };
  matrix->ops->destroy = SUNMatFreeEmpty;
  matrix->content = content;
  return Matrix(matrix);
}

template <typename Content>
[[nodiscard]] Content& content_of(SUNMatrix matrix) {
  return *static_cast<Content*>(matrix->content);
}

/// A direct solver made of two functions, for a matrix of one's own.
[[nodiscard]] inline LinearSolver make_own_solver(int (*factor)(SUNLinearSolver, SUNMatrix),
                                                  int (*solve)(SUNLinearSolver, SUNMatrix,
                                                               N_Vector x, N_Vector right,
                                                               realtype),
                                                  SUNContext context) {
  SUNLinearSolver solver = SUNLinSolNewEmpty(context);
  solver->ops->gettype = [](SUNLinearSolver) { return SUNLINEARSOLVER_DIRECT; };
  solver->ops->setup = factor;
  solver->ops->solve = solve;
  solver->ops->free = [](SUNLinearSolver own) {
    SUNLinSolFreeEmpty(own);
    return 0;
  };
  return LinearSolver(solver);
}

}  // namespace thawline::validation
