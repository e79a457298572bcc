#include "mesh/loose_bed.hpp"

#include <catch2/catch.hpp>
#include <cmath>

using namespace thawline;
using Catch::WithinAbs;

namespace {

/// A floor of 30 × 40 cm, 30 cm high, with 5.5 kg of ice: 6 L as pieces, 10 L with their voids, 5.5
/// L of water.
mesh::LooseBed bed(bool drained) {
  mesh::LooseBed b;
  b.floor_area = 0.12;
  b.height = 0.3;
  b.solid_volume = 6e-3;
  b.liquid_volume = 5.5e-3;
  b.drained = drained;
  return b;
}

}  // namespace

TEST_CASE("the level of loose pieces follows from volumes", "[mesh]") {
  // Pieces fill 0.6 of their space.
  CHECK_THAT(mesh::level_of(bed(true), 0), WithinAbs(0.010 / 0.12, 1e-12));
  CHECK_THAT(mesh::level_of(bed(true), 0.5), WithinAbs(0.005 / 0.12, 1e-12));
  CHECK_THAT(mesh::level_of(bed(true), 1), WithinAbs(0, 1e-12));
  // Kept water fills the voids: 1.1 L in 3.2 L at a fifth melted; 4.4 L is more than 0.8 L of voids
  // at four fifths, and 1.2 L of pieces float in it.
  CHECK_THAT(mesh::level_of(bed(false), 0.2), WithinAbs(0.008 / 0.12, 1e-12));
  CHECK_THAT(mesh::level_of(bed(false), 0.8), WithinAbs(0.0056 / 0.12, 1e-12));
  CHECK_THAT(mesh::level_of(bed(false), 1), WithinAbs(0.0055 / 0.12, 1e-12));
}

TEST_CASE("contents push the level of loose pieces up as far as they reach", "[mesh]") {
  mesh::LooseBed b = bed(true);
  b.standing = {{0.06, 0.1}};
  // Half the floor is free up to 10 cm: 6 L; the other 4 L lie on all of it.
  CHECK_THAT(mesh::level_of(b, 0), WithinAbs(0.1 + 0.004 / 0.12, 1e-12));
  CHECK_THAT(mesh::level_of(b, 0.5), WithinAbs(0.005 / 0.06, 1e-12));
  CHECK_THAT(mesh::share_below(b, 0.5, 0, 0.1), WithinAbs(0.8333333333, 1e-9));
  CHECK_THAT(mesh::free_floor(b, 0), WithinAbs(1, 1e-12));
  CHECK_THAT(mesh::free_floor(b, 0.5), WithinAbs(0.5, 1e-12));
  // No higher than the box, which the reader of cases refuses.
  b.solid_volume = 1;
  CHECK(mesh::level_of(b, 0) == b.height);
}

TEST_CASE("the level of loose pieces never rises while they melt", "[mesh]") {
  for (const bool drained : {true, false}) {
    mesh::LooseBed b = bed(drained);
    b.standing = {{0.03, 0.115}, {0.02, 0.05}};
    double before = mesh::level_of(b, 0);
    for (int i = 1; i <= 1000; ++i) {
      const double level = mesh::level_of(b, i / 1000.0);
      CHECK(level <= before + 1e-12);
      before = level;
    }
  }
}

TEST_CASE("a floor is covered down to one layer of pieces", "[mesh]") {
  CHECK(mesh::floor_share(bed(true), 0.5) == 1);
  const double left = 0.1;  // a level of 8.3 mm, 5/12 of a piece
  CHECK_THAT(mesh::floor_share(bed(true), 1 - left), WithinAbs(std::pow(5.0 / 12, 2.0 / 3), 1e-9));
  CHECK(mesh::floor_share(bed(false), 1) == 1);
}
