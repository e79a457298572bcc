#include <cstddef>
#include <cstdint>
#include <string>

#include "cases/read_plan.hpp"
#include "support/scratch_folder.hpp"

// A plan file of any bytes, beside a case that is in order, is read or refused with an InputError,
// and so are its first cases.

namespace {

using namespace thawline;

/// Few materials, as the folder is read anew for every plan.
const char* const materials = R"(
foam:
  title: foam
  uses: [wall]
  density: {value: 30 kg/m3, source: test}
  heat_capacity: {value: 1400 J/kg/K, valid: [-40 degC, 60 degC], source: test}
  conductivity: {table: [[-20 degC, 0.03 W/m/K], [40 degC, 0.036 W/m/K]], source: test}
ice:
  title: ice
  uses: [coolant, payload]
  density: {value: 917 kg/m3, source: test}
  heat_capacity:
    solid: {value: 2050 J/kg/K, valid: [-40 degC, 0 degC], source: test}
    liquid: {value: 4200 J/kg/K, valid: [0 degC, 40 degC], source: test}
  conductivity:
    solid: {value: 2.2 W/m/K, valid: [-40 degC, 0 degC], source: test}
    liquid: {value: 0.57 W/m/K, valid: [0 degC, 40 degC], source: test}
  melting:
    law: sharp
    point: {value: 0 degC, source: test}
    latent_heat: {value: 333 kJ/kg, source: test}
)";

const char* const base_case = R"(title: box
box:
  inside: {length: 30 cm, width: 20 cm, height: 20 cm}
  wall: [{material: foam, thickness: 20 mm}]
coolant:
  - {name: slab, material: ice, amount: 500 g, form: pack, thickness: 20 mm, start: -10 degC}
payload:
  - {name: goods, contents: ice, start: 4 degC, block: {amount: 1 kg, thickness: 5 cm}}
surroundings: {air: {mean: 30 degC, swing: 3 K, warmest_at: 5 h}}
limits:
  - {name: cold, probe: goods, not_above: 8 degC}
run: {duration: 24 h}
)";

const test::ScratchFolder& folder() {
  static const test::ScratchFolder made;
  static const bool written = [] {
    made.write("materials/all.yaml", materials);
    made.write("case.yaml", base_case);
    made.write("air.csv", "time [h], air [degC]\n0, 20\n24, 30\n");
    return true;
  }();
  (void)written;
  return made;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  folder().write("plan.yaml", std::string(reinterpret_cast<const char*>(data), size));
  try {
    const auto taken_up = [](const cases::Coolant& coolant, double until) {
      return 2000 * (until - coolant.start);
    };
    const auto read =
        cases::read_plan(folder().path("plan.yaml"), folder().path("materials"), taken_up);
    const cases::BaseCase base = cases::base_case(read.plan);
    const std::uint64_t count = cases::case_count(read.plan);
    for (const std::uint64_t number : {std::uint64_t{1}, count}) {
      const auto settings = cases::settings_of(cases::case_inputs(read.plan, number));
      (void)base.read_with(settings, read.library, true);
    }
  } catch (const cases::InputError&) {
    return 0;
  }
  return 0;
}
