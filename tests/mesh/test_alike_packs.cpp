#include <catch2/catch.hpp>
#include <string>

#include "cases/alike_packs.hpp"
#include "cases/read_case.hpp"
#include "solver/results/run_case.hpp"

using namespace thawline;

namespace {

cases::Case box(const std::string& coolants, const std::string& detail,
                const std::string& inside = "length: 45 cm, width: 28 cm",
                const std::string& more = "") {
  const std::string root = THAWLINE_SOURCE_DIR;
  static const auto shelf = cases::read_material_folder(root + "/cases/materials");
  return cases::read_case_text(
      "case.yaml",
      "title: box\nbox: {inside: {" + inside +
          ", height: 25 cm}, wall: [{material: hdpe, thickness: 2 mm}, {material: xps, thickness: "
          "30 mm}]}\ncoolant:\n" +
          coolants +
          "payload: [{name: drinks, contents: cola, start: 6 degC, cans: {count: 8, volume: 0.33 "
          "L, "
          "diameter: 66 mm, height: 115 mm}" +
          more + "}]\nsurroundings: {air: 27 degC}\n" +
          "limits: [{name: cold, probe: drinks, not_above: 9 degC}]\nrun: {duration: 40 h, "
          "detail: " +
          detail + "}\n",
      shelf);
}

std::string pack(const std::string& name, const std::string& place, const std::string& kilograms,
                 const std::string& start = "-12 degC") {
  return "  - {name: " + name +
         ", material: gel_pack, form: pack, thickness: 22 mm, place: " + place +
         ", amount: " + kilograms + " kg, start: " + start + "}\n";
}

}  // namespace

TEST_CASE("packs that are alike and lie beside each other are one body", "[mesh]") {
  const auto c =
      box(pack("a", "floor", "0.5") + pack("cover", "lid", "0.4") + pack("b", "floor", "0.25") +
              pack("warmer", "floor", "0.3", "-5 degC") + pack("c", "floor", "0.2"),
          "2d");
  const auto bodies = cases::pack_bodies(c);
  REQUIRE(bodies.size() == 5);
  CHECK(bodies[0].first == 0);
  CHECK(bodies[0].share == Approx(2.0 / 3));
  CHECK(bodies[1].first == 1);
  CHECK(bodies[2].first == 0);
  CHECK(bodies[2].share == Approx(1.0 / 3));
  CHECK(bodies[3].first == 3);
  CHECK(bodies[4].first == 4);  // another lies between
  const auto network = mesh::build_network(c);
  CHECK(network.items[0].cells == network.items[2].cells);
  CHECK(network.items[2].mass == Approx(0.25));
  CHECK(network.items[0].mass == Approx(0.5));
}

// The bar of 0.1 % leaves nothing to the model: one body is one body.
TEST_CASE("one entry and the same as two give one answer", "[mesh][section]") {
  for (const char* detail : {"1d", "2d, accuracy: 0.2 K"}) {
    for (const char* place : {"floor", "lid", "sides", "free", "around_payload"}) {
      INFO(detail << " " << place);
      const auto one = solver::run_case(box(pack("gel", place, "1.2"), detail));
      const auto two =
          solver::run_case(box(pack("a", place, "0.9") + pack("b", place, "0.3"), detail));
      REQUIRE(one.limits[0].end_time > 0);
      CHECK(two.limits[0].hold_time() == Approx(one.limits[0].hold_time()).epsilon(1e-9));
      REQUIRE(one.items[0].spent_at > 0);
      CHECK(two.items[0].spent_at == Approx(one.items[0].spent_at).epsilon(1e-9));
      CHECK(two.items[1].spent_at == two.items[0].spent_at);
    }
  }
}

TEST_CASE("packs that come or go by themselves stay apart", "[mesh]") {
  auto c = box(pack("a", "floor", "0.5") + pack("b", "floor", "0.5"), "1d");
  c.happenings = {{3600, cases::RemoveItem{"b"}}};
  CHECK(cases::pack_bodies(c)[1].first == 1);
}

TEST_CASE("contents that stand on one pack of a body stand on no more than its face", "[mesh]") {
  const auto c = box(pack("a", "floor", "0.9") + pack("b", "floor", "0.3"), "1d",
                     "length: 45 cm, width: 28 cm", ", stands_on: b");
  const auto joined = cases::with_bodies_joined(c, cases::pack_bodies(c));
  CHECK(joined.payloads[0].stands.pack == "a");
  REQUIRE(joined.payloads[0].stands.area);
  CHECK(*joined.payloads[0].stands.area ==
        Approx(volume_of(c.coolants[1]) / c.coolants[1].thickness));
  CHECK(mesh::build_network(c).items[1].share == Approx(0.25));
}

TEST_CASE("length and width exchanged give the same answer", "[mesh][section]") {
  for (const char* detail : {"1d", "2d, accuracy: 0.2 K"}) {
    for (const char* place : {"floor", "lid", "sides", "free", "around_payload"}) {
      INFO(detail << " " << place);
      const auto one = solver::run_case(box(pack("gel", place, "1.2"), detail));
      const auto other =
          solver::run_case(box(pack("gel", place, "1.2"), detail, "length: 28 cm, width: 45 cm"));
      CHECK(other.limits[0].hold_time() == Approx(one.limits[0].hold_time()).epsilon(1e-12));
      CHECK(other.items[0].spent_at == Approx(one.items[0].spent_at).epsilon(1e-12));
      for (std::size_t i = 0; i < one.heat_by_path.size(); ++i) {
        CHECK(other.heat_by_path[i] == Approx(one.heat_by_path[i]).epsilon(1e-12));
      }
    }
  }
}
