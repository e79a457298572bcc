#include <array>
#include <boost/crc.hpp>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <string>

#include "cases/input_error.hpp"
#include "solver/batch/journal.hpp"
#include "solver/history/written_file.hpp"
#include "support/scratch_folder.hpp"

// A journal of any bytes is taken up, begun anew or refused; what it takes up can be read, and it
// can be added to. When the first byte is odd the rest are records, each framed with a checksum
// that is right, so that what lies behind it is reached.

namespace {

using namespace thawline::solver;

constexpr std::uint64_t cases_of_plan = 6;
const batch::Fingerprint inputs{{"plan", "one"}, {"base case", "two"}};
const std::vector<batch::Column> columns{{"time", "h", "time", batch::Kind::number, {}},
                                         {"steps", "1", "steps", batch::Kind::whole, {}},
                                         {"status", "1", "status", batch::Kind::word, {"a", "b"}},
                                         {"reason", "1", "reason", batch::Kind::text, {}}};

void put(std::string& bytes, std::uint32_t value) {
  bytes.append(reinterpret_cast<const char*>(&value), sizeof value);
}

void put_framed(std::string& bytes, const std::string& record) {
  boost::crc_32_type crc;
  crc.process_bytes(record.data(), record.size());
  put(bytes, static_cast<std::uint32_t>(record.size()));
  bytes += record;
  put(bytes, crc.checksum());
}

/// Records of one byte of length each.
std::string framed(const std::string& head, const std::uint8_t* data, std::size_t size) {
  std::string bytes = head;
  for (std::size_t i = 0; i < size;) {
    const std::size_t length = std::min<std::size_t>(data[i], size - i - 1);
    put_framed(bytes, std::string(reinterpret_cast<const char*>(data) + i + 1, length));
    i += 1 + length;
  }
  return bytes;
}

std::string read_back(const std::string& file) {
  std::ifstream stream(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(stream), {}};
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const thawline::test::ScratchFolder folder;
  static const std::string file = folder.path("plan.h5.part");
  static const std::string head = [] {
    { const batch::Journal fresh(file, inputs, "1/1", cases_of_plan, columns, true); }
    return read_back(file);
  }();
  if (size == 0) return 0;
  folder.write("plan.h5.part",
               data[0] % 2 == 1 ? framed(head, data + 1, size - 1)
                                : std::string(reinterpret_cast<const char*>(data) + 1, size - 1));
  try {
    batch::Journal journal(file, inputs, "1/1", cases_of_plan, columns, false);
    for (std::uint64_t number = 1; number <= cases_of_plan; ++number) {
      if (journal.has(number)) (void)journal.read(number);
    }
    journal.append(2, {{1.5, 2, 1}, "why"});
    const auto back = journal.read(2);
    if (back.numbers != std::vector<double>{1.5, 2, 1} || back.reason != "why") std::abort();
  } catch (const thawline::cases::InputError&) {
    return 0;
  } catch (const history::WriteError&) {
    return 0;
  }
  return 0;
}
