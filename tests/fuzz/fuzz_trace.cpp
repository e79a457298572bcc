#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string>

#include "cases/read_trace.hpp"

// A trace of any bytes is read or refused with an InputError; what is read increases in time.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace thawline::cases;
  try {
    const Trace trace =
        read_trace_text({"trace.csv", std::string(reinterpret_cast<const char*>(data), size)});
    if (trace.time.size() < 2 || trace.time.size() != trace.temperature.size()) std::abort();
    for (std::size_t i = 0; i < trace.time.size(); ++i) {
      if (i > 0 && !(trace.time[i] > trace.time[i - 1])) std::abort();
      if (!(trace.temperature[i] >= 150 && trace.temperature[i] <= 400)) std::abort();
    }
  } catch (const InputError&) {
    return 0;
  }
  return 0;
}
