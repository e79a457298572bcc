#include <cstdio>
#include <exception>
#include <thawline/cases/read_case.hpp>
#include <thawline/solver/results/run_case.hpp>

// Prints the hold time (s) of the first limit of a case: hold_time CASE.yaml
int main(int count, char** words) {
  if (count != 2) return 2;
  try {
    const auto shelf = thawline::cases::read_material_folder(MATERIALS);
    const auto result = thawline::solver::run_case(thawline::cases::read_case(words[1], shelf));
    if (!result.summary.completed) return 3;
    std::printf("%.17g\n", result.limits.front().hold_time());
  } catch (const std::exception& error) {
    std::fprintf(stderr, "%s\n", error.what());
    return 2;
  }
}
