#include <cstddef>
#include <cstdint>
#include <string>

#include "cases/read_case.hpp"
#include "fuzz/material_shelf.hpp"

// A case file of any bytes is read or refused with an InputError.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace thawline;
  const std::string text(reinterpret_cast<const char*>(data), size);
  try {
    const auto c = cases::read_case_text("nowhere/case.yaml", text, fuzz::material_shelf());
    (void)cases::probe_names(c);
  } catch (const cases::InputError&) {
    return 0;
  }
  return 0;
}
