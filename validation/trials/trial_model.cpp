// Lets other fitting programs drive the library: the problem of a trial as one line of JSON, then
// for every line of unknowns (natural scale) on standard input one line with the predictions, or
// null.
//   trial_model TRIAL.yaml MATERIALS
#include <iostream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "cases/fit/read_trial.hpp"
#include "solver/trial/fit_problem.hpp"

int main(int argc, char** argv) {
  using nlohmann::json;
  if (argc != 3) return 2;
  const auto read = thawline::cases::read_trial(argv[1], argv[2]);
  const auto fit = thawline::solver::trial::fit_problem(read);
  json head;
  for (const auto& unknown : fit.problem.unknowns) {
    json entry{{"start", unknown.start},
               {"low", unknown.low},
               {"high", unknown.high},
               {"offset_of", unknown.offset_of}};
    if (unknown.prior) entry["prior"] = {unknown.prior->mean, unknown.prior->spread};
    head["unknowns"].push_back(entry);
  }
  for (const auto& meaning : fit.meanings) head["logarithmic"].push_back(meaning.logarithmic);
  for (const auto& series : fit.problem.series) {
    head["series"].push_back({{"time", series.time}, {"measured", series.measured}});
  }
  std::cout << head << std::endl;
  std::string line;
  while (std::getline(std::cin, line)) {
    std::istringstream numbers(line);
    Eigen::VectorXd x(static_cast<Eigen::Index>(fit.problem.unknowns.size()));
    for (double& value : x) numbers >> value;
    const auto told = fit.problem.model(x);
    std::cout << (told ? json(told->series) : json(nullptr)) << std::endl;
  }
  return 0;
}
