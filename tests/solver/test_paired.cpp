#include <catch2/catch.hpp>

#include "solver/batch/paired.hpp"

using namespace thawline::solver::batch;

namespace {

constexpr double ended = 0, outlasted = 1, never_within = 2;

}  // namespace

TEST_CASE("combinations are held against each other sample by sample", "[paired]") {
  const std::vector<PairMember> first{{ended, 10},     {ended, 12}, {outlasted, 48},
                                      {outlasted, 48}, {ended, 5},  {never_within, 0},
                                      {blank, 0},      {ended, 7}};
  const std::vector<PairMember> second{{ended, 8},      {ended, 15},       {ended, 40},
                                       {outlasted, 48}, {never_within, 0}, {never_within, 0},
                                       {ended, 9},      {ended, 7}};
  const Paired pair = paired(first, second);
  CHECK(pair.pairs == 7);    // one failed
  CHECK(pair.longer == 3);   // by 2, by more than 8, by 5
  CHECK(pair.shorter == 1);  // by 3
  CHECK(pair.alike == 2);    // never within both, and 7 h both
  CHECK(pair.unknown == 1);  // both outlasted the run
  // Differences in order: -3, 0, 0, 2, 5, 8 (at least).
  REQUIRE(pair.quantiles.size() == 3);
  CHECK(pair.quantiles[0].hours == -3);
  CHECK(pair.quantiles[1].hours == 0);
  CHECK(pair.quantiles[2].hours == 8);
  CHECK(pair.quantiles[2].at_least);
  const std::string said = paired_sentence(pair, "A", "B");
  CHECK(said.find("A outlasts B in 3 of 7 samples (1 unknown") == 0);
  CHECK(said.find("P90 more than +8.00 h") != std::string::npos);
}

TEST_CASE("pairs that say nothing say so", "[paired]") {
  const std::vector<PairMember> none{{never_within, 0}, {never_within, 0}};
  CHECK(paired_sentence(paired(none, none), "A", "B") == "A and B hold alike in all 2 samples");
  const std::vector<PairMember> failed{{blank, 0}};
  CHECK(paired(failed, failed).pairs == 0);
  CHECK(paired(failed, failed).quantiles.empty());
}
