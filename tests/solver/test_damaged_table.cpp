#include <unistd.h>

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <optional>
#include <string>
#include <vector>

#include "cases/input_error.hpp"
#include "solver/batch/read_table.hpp"
#include "solver/batch/write_table.hpp"
#include "solver/history/file_mark.hpp"

using namespace thawline;
using namespace thawline::solver;
namespace fs = std::filesystem;

namespace {

batch::TableHead small_head() {
  batch::TableHead head;
  head.title = "a small table";
  head.inputs = {{"plan", "1"}, {"base case", "2"}};
  head.cases = 5;
  head.columns = {
      {"case", "1", "number of the case", batch::Kind::whole, {}},
      {"inputs/foam", "1", "foam", batch::Kind::text, {}, "varied", 7},
      {"limits/cold/outcome", "1", "outcome", batch::Kind::word, {"ended", "outlasted"}},
      {"limits/cold/hold_time", "h", "hold time", batch::Kind::number, {}},
      {"reason", "1", "why", batch::Kind::text, {}, "", 9}};
  return head;
}

batch::Row row_of(std::uint64_t i) {
  const auto x = static_cast<double>(i);
  return {{x + 1, 0, static_cast<double>(i % 2), i == 3 ? batch::blank : 1.5 * x, 0},
          {"", i < 2 ? "eps" : "pu_foam", "", "", i == 3 ? "no reason" : ""}};
}

std::vector<batch::Row> rows_in(const std::string& file) {
  batch::TableFile table(file, 2);
  std::vector<batch::Row> rows;
  for (std::uint64_t i = 0; i < 5; ++i) rows.push_back(table.row(i));
  return rows;
}

bool same(const std::vector<batch::Row>& a, const std::vector<batch::Row>& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](const auto& one, const auto& other) {
    return one.numbers == other.numbers && one.texts == other.texts;
  });
}

std::string bytes_of(const std::string& file) {
  std::ifstream stream(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(stream), {}};
}

class SmallTable {
 public:
  SmallTable()
      : folder_(fs::temp_directory_path() / ("table-" + std::to_string(getpid()))),
        file((folder_ / "small.h5").string()) {
    fs::create_directories(folder_);
    batch::write_table(file, small_head(), row_of);
  }
  ~SmallTable() { fs::remove_all(folder_); }
  SmallTable(const SmallTable&) = delete;
  SmallTable& operator=(const SmallTable&) = delete;
  SmallTable(SmallTable&&) = delete;
  SmallTable& operator=(SmallTable&&) = delete;

 private:
  fs::path folder_;

 public:
  std::string file;
};

/// The sentence a table is refused with; empty when it is read.
std::string refusal(const std::string& file, const std::vector<batch::Row>& expected) {
  try {
    const auto rows = rows_in(file);
    CHECK(same(rows, expected));
  } catch (const cases::InputError& error) {
    return error.what();
  }
  return {};
}

}  // namespace

TEST_CASE("a table reads back as it was written", "[solver][damage]") {
  const SmallTable table;
  const auto rows = rows_in(table.file);
  for (std::uint64_t i = 0; i < 5; ++i) {
    CHECK(rows[i].texts == row_of(i).texts);
    CHECK(rows[i].numbers[3] == row_of(i).numbers[3]);
  }
}

TEST_CASE("a flip of any bit of a table is told or changes nothing", "[solver][damage]") {
  const SmallTable table;
  const auto rows = rows_in(table.file);
  const std::string whole = bytes_of(table.file);
  std::fstream stream(table.file, std::ios::binary | std::ios::in | std::ios::out);
  const auto put = [&stream](std::size_t place, char byte) {
    stream.seekp(static_cast<std::streamoff>(place));
    stream.put(byte);
    stream.flush();
  };
  std::size_t told = 0;
  for (std::size_t place = 0; place < whole.size(); ++place) {
    const int bit = 1 << (place * 5 % 8);
    put(place, static_cast<char>(whole[place] ^ bit));
    const std::string sentence = refusal(table.file, rows);
    put(place, whole[place]);
    if (sentence.empty()) continue;
    ++told;
    if (sentence.find('\n') != std::string::npos || !sentence.starts_with(table.file)) {
      FAIL_CHECK("byte " << place << ": " << sentence);
    }
  }
  CHECK(refusal(table.file, rows).empty());
  // All but the blanks of the mark.
  CHECK(told >= whole.size() - history::mark_bytes + 64);
}

TEST_CASE("a table cut at any length is told to be none", "[solver][damage]") {
  const SmallTable table;
  const auto rows = rows_in(table.file);
  const std::string whole = bytes_of(table.file);
  for (std::size_t size = whole.size(); size-- > 0;) {
    if (size > 700 && size % 37 != 0) continue;
    fs::resize_file(table.file, size);
    if (refusal(table.file, rows).empty()) FAIL_CHECK("cut at " << size);
  }
}
