#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <string>

#include "cases/record/read_record.hpp"
#include "support/allocations.hpp"

using namespace thawline::cases;

namespace {

/// Allocations of reading a record of so many rows.
long allocations_of(int rows) {
  std::string text = "when;box (C);room (C)\n";
  for (int i = 0; i < rows; ++i) {
    text += fmt::format("2026-03-{:02} {:02}:{:02}:{:02};{},5;{}\n", 1 + i / 86400 % 28,
                        i / 3600 % 24, i / 60 % 60, i % 60, 4 + i % 3, i % 7 == 0 ? "---" : "20,5");
  }
  const DecodedText decoded = decode_text("log.csv", text);
  const long before = thawline::test::allocations();
  const Record record = read_record_text(decoded);
  const long taken = thawline::test::allocations() - before;
  CHECK(record.time.size() == static_cast<std::size_t>(rows));
  return taken;
}

}  // namespace

TEST_CASE("a longer record is read without asking for memory row by row", "[cases][record]") {
  // Some for each new date; what looks at the first rows is the same for both.
  CHECK(allocations_of(40000) <= allocations_of(4000) + 20);
}
