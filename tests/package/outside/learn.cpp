#include <cstdio>
#include <exception>
#include <thawline/cases/fit/read_trial.hpp>
#include <thawline/solver/trial/fit_trial.hpp>

// Prints what a trial's records tell of its first free value: learn TRIAL.yaml
int main(int count, char** words) {
  if (count != 2) return 2;
  try {
    const auto read = thawline::cases::read_trial(words[1], MATERIALS);
    const auto& value = thawline::solver::trial::fit_trial(read).values.front();
    std::printf("%.17g %.17g %.17g\n", value.value, value.low, value.high);
  } catch (const std::exception& error) {
    std::fprintf(stderr, "%s\n", error.what());
    return 2;
  }
}
