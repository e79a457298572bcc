#include <array>
#include <catch2/catch.hpp>
#include <chrono>
#include <cstdio>
#include <optional>
#include <string>
#include <vector>

#include "cases/record/read_record.hpp"

using namespace thawline::cases;

namespace {

/// Of the first channel: values in degC.
struct Style {
  const char* name;
  std::string bytes;
  std::vector<double> time;  ///< s since the first row
  std::vector<double> celsius;
  const char* channel = "box";
  const char* starts = "";  ///< date and time of the first row, in minutes
  RecordChoice choice = {};
};

std::string utf16(const std::string& ascii, bool little, bool mark) {
  std::string bytes;
  if (mark) bytes = little ? "\xFF\xFE" : "\xFE\xFF";
  for (const char c : ascii) {
    if (!little) bytes += '\0';
    bytes += c;
    if (little) bytes += '\0';
  }
  return bytes;
}

RecordChoice dates(DateOrder order) {
  RecordChoice choice;
  choice.dates = order;
  return choice;
}

RecordChoice jumps_taken_out() {
  RecordChoice choice;
  choice.hour_jumps = HourJumps::taken_out;
  return choice;
}

std::string start_of(const Record& record) {
  if (!record.first_on_clock) return {};
  const auto day = std::chrono::floor<std::chrono::days>(*record.first_on_clock);
  const std::chrono::year_month_day date{day};
  const std::chrono::hh_mm_ss time{*record.first_on_clock - day};
  std::array<char, 32> text{};
  std::snprintf(text.data(), text.size(), "%04d-%02u-%02u %02d:%02d", static_cast<int>(date.year()),
                static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()),
                static_cast<int>(time.hours().count()), static_cast<int>(time.minutes().count()));
  return text.data();
}

const std::string plain = "time [h],box [degC]\n0,4\n1,5.5\n";
const std::vector<double> hourly{0, 3600};
const std::vector<double> tens{0, 600};
const std::vector<double> usual{4.0, 5.5};

const std::vector<Style>& styles() {
  static const std::vector<Style> all{
      {"commas", plain, hourly, usual},
      {"semicolons and decimal commas", "time [h];box [degC]\n0;4\n1;5,5\n", hourly, usual},
      {"semicolons and decimal points", "time [h];box [degC]\n0;4\n1;5.5\n", hourly, usual},
      {"tabs and decimal commas", "time [h]\tbox [degC]\n0\t4\n1\t5,5\n", hourly, usual},
      {"quoted decimal commas", "\"time [h]\",\"box [degC]\"\n\"0\",\"4\"\n\"1\",\"5,5\"\n", hourly,
       usual},
      {"quoted names with separators and marks",
       "time [h],\"box, the \"\"blue\"\" one [degC]\"\n0,4\n1,5.5\n", hourly, usual,
       "box, the \"blue\" one"},
      {"a header cell over two lines", "time [h],\"box\n[degC]\"\n0,4\n1,5.5\n", hourly, usual},
      {"byte order mark", "\xEF\xBB\xBF" + plain, hourly, usual},
      {"CRLF", "time [h],box [degC]\r\n0,4\r\n1,5.5\r\n", hourly, usual},
      {"CR", "time [h],box [degC]\r0,4\r1,5.5\r", hourly, usual},
      {"no line end at the end", "time [h],box [degC]\n0,4\n1,5.5", hourly, usual},
      {"Latin-1",
       "time [h];box (\xB0"
       "C)\n0;4\n1;5,5\n",
       hourly, usual},
      {"Windows-1252",
       "time [h];box \x96 left (\xB0"
       "C)\n0;4\n1;5,5\n",
       hourly, usual, "box \xE2\x80\x93 left"},
      {"UTF-16 LE", utf16(plain, true, true), hourly, usual},
      {"UTF-16 BE", utf16(plain, false, true), hourly, usual},
      {"UTF-16 without a mark", utf16(plain, true, false), hourly, usual},
      {"end mark of old systems", plain + "\x1A", hourly, usual},
      {"lines before the header",
       "Report of a run\nSerial;0042\nInterval;60;s\nFirst;2026-03-01 10:00\n\ntime [h];box "
       "[degC]\n0;4\n1;5,5\n",
       hourly, usual},
      {"a small table before the header",
       "Property,Value\nSerial,42\nAlarms,none\n\ntime [h],box [degC]\n0,4\n1,5.5\n", hourly,
       usual},
      {"comment lines", "# run 7\ntime [h],box [degC]\n0,4\n# lid\n1,5.5\n", hourly, usual},
      {"a row of units", "time;box;room\nh;degC;degC\n0;4;20\n1;5,5;20\n", hourly, usual},
      {"a row of units in brackets",
       "time,box,humidity\n(min),(\xC2\xB0"
       "C),(%RH)\n0,4,50\n10,5.5,50\n",
       tens, usual},
      {"a count in front", "No.,time [min],box [degC]\n1,0,4\n2,10,5.5\n", tens, {1.0, 2.0}, "No."},
      {"a number sign as the header of a count",
       "#,time [min],box [degC]\n1,0,4\n2,10,5.5\n",
       tens,
       {1.0, 2.0},
       "#"},
      {"a column of words", "time [h],event,box [degC]\n0,start,4\n1,,5.5\n", hourly, usual},
      {"separators at the end of rows", "time [h];box [degC];\n0;4;\n1;5,5;\n", hourly, usual},
      {"separators at the end of readings only", "time [h];box [degC]\n0;4;\n1;5,5;\n", hourly,
       usual},
      {"empty rows at the end", "time [h];box [degC]\n0;4\n1;5,5\n;\n;\n", hourly, usual},
      {"blanks around cells", " time [h] , box [degC] \n 0 , 4 \n 1 , +5.5 \n", hourly, usual},
      {"units behind the numbers",
       "time [h];box\n0;4,0 \xC2\xB0"
       "C\n1;5,5 \xC2\xB0"
       "C\n",
       hourly, usual},
      {"Fahrenheit sign",
       "time [h],box \xC2\xB0"
       "F\n0,39.2\n1,41.9\n",
       hourly, usual},
      {"Fahrenheit letter", "time [h],box (F)\n0,39.2\n1,41.9\n", hourly, usual},
      {"degF", "time [h],box [degF]\n0,39.2\n1,41.9\n", hourly, usual},
      {"kelvin", "time [h],box (K)\n0,277.15\n1,278.65\n", hourly, usual},
      {"letter C", "time [h],box (C)\n0,4\n1,5.5\n", hourly, usual},
      {"deg C", "time [h],box deg C\n0,4\n1,5.5\n", hourly, usual},
      {"unit behind a comma",
       "time [h];box, \xC2\xB0"
       "C (inside)\n0;4\n1;5,5\n",
       hourly, usual, "box (inside)"},
      {"seconds", "elapsed (s),box (C)\n0,4\n600,5.5\n", tens, usual},
      {"minutes", "elapsed min,box (C)\n0,4\n10,5.5\n", tens, usual},
      {"h:mm:ss", "elapsed,box (C)\n00:00:00,4\n00:10:00,5.5\n", tens, usual},
      {"more than a day of h:mm:ss", "elapsed,box (C)\n47:55:00,4\n48:05:00,5.5\n", tens, usual},
      {"h:mm", "elapsed [hh:mm],box (C)\n0:00,4\n0:10,5.5\n", tens, usual},
      {"numbers as channels", "time [h],1 (C),2 (C)\n0,4,20\n1,5.5,20\n", hourly, usual, "1"},
      {"ISO 8601 in UTC", "when,box (C)\n2026-03-02T14:10:00Z,4\n2026-03-02T14:20:00Z,5.5\n", tens,
       usual, "box", "2026-03-02 14:10"},
      {"ISO 8601 with a zone",
       "when,box (C)\n2026-03-02T14:10:00+01:00,4\n2026-03-02T14:20:00+01:00,5.5\n", tens, usual,
       "box", "2026-03-02 14:10"},
      {"a zone that changes with daylight saving",
       "when,box (C)\n2026-10-25T02:55:00+02:00,4\n2026-10-25T02:05:00+01:00,5.5\n", tens, usual,
       "box", "2026-10-25 02:55"},
      {"a zone in the header",
       "\"Date Time, GMT-04:00\",box (C)\n2026-03-02 14:10,4\n2026-03-02 14:20,5.5\n", tens, usual,
       "box", "2026-03-02 14:10"},
      {"ISO 8601 without a zone", "when,box (C)\n2026-03-02T14:10:00,4\n2026-03-02T14:20:00,5.5\n",
       tens, usual, "box", "2026-03-02 14:10"},
      {"date and time without seconds", "when,box (C)\n2026-03-02 14:10,4\n2026-03-02 14:20,5.5\n",
       tens, usual, "box", "2026-03-02 14:10"},
      {"parts of seconds", "when,box (C)\n2026-03-02 14:10:00.250,4\n2026-03-02 14:20:00.250,5.5\n",
       tens, usual, "box", "2026-03-02 14:10"},
      {"year first with strokes", "when,box (C)\n2026/03/02 14:10,4\n2026/03/02 14:20,5.5\n", tens,
       usual, "box", "2026-03-02 14:10"},
      {"month first, said", "when,box (C)\n02/03/2026 2:10 PM,4\n02/03/2026 2:20 PM,5.5\n", tens,
       usual, "box", "2026-02-03 14:10", dates(DateOrder::month_first)},
      {"day first, said", "when,box (C)\n02/03/2026 2:10 PM,4\n02/03/2026 2:20 PM,5.5\n", tens,
       usual, "box", "2026-03-02 14:10", dates(DateOrder::day_first)},
      {"day first by the calendar", "when,box (C)\n27/03/2026 14:10,4\n27/03/2026 14:20,5.5\n",
       tens, usual, "box", "2026-03-27 14:10"},
      {"month first by the calendar",
       "when,box (C)\n3/27/2026 12:05 AM,4\n3/27/2026 12:15 AM,5.5\n", tens, usual, "box",
       "2026-03-27 00:05"},
      {"day first by a later row", "when,box (C)\n12/03/2026 23:55,4\n13/03/2026 0:05,5.5\n", tens,
       usual, "box", "2026-03-12 23:55"},
      {"day first across midnight",
       "when,box (C)\n02/03/2026 23:45,4\n02/03/2026 23:55,5.5\n03/03/2026 00:05,6\n",
       {0, 600, 1200},
       {4.0, 5.5, 6.0},
       "box",
       "2026-03-02 23:45"},
      {"month first across midnight",
       "when,box (C)\n03/02/2026 23:45,4\n03/02/2026 23:55,5.5\n03/03/2026 00:05,6\n",
       {0, 600, 1200},
       {4.0, 5.5, 6.0},
       "box",
       "2026-03-02 23:45"},
      {"order in the header",
       "\"when (MM/DD/YYYY hh:mm)\",box (C)\n02/03/2026 14:10,4\n02/03/2026 14:20,5.5\n", tens,
       usual, "box", "2026-02-03 14:10"},
      {"points between day and month", "when;box (C)\n02.03.2026 14:10;4\n02.03.2026 14:20;5,5\n",
       tens, usual, "box", "2026-03-02 14:10"},
      {"a short year", "when;box (C)\n02.03.26 14:10;4\n02.03.26 14:20;5,5\n", tens, usual, "box",
       "2026-03-02 14:10"},
      {"month by its name", "when,box (C)\n02-Mar-2026 14:10,4\n02-Mar-2026 14:20,5.5\n", tens,
       usual, "box", "2026-03-02 14:10"},
      {"date and time in two columns",
       "Date;Time;box (C)\n02.03.2026;14:10:00;4\n02.03.2026;14:20:00;5,5\n", tens, usual, "box",
       "2026-03-02 14:10"},
      {"two columns with AM and PM",
       "Date,Time,box (C)\n2026-03-02,11:55 AM,4\n2026-03-02,12:05 PM,5.5\n", tens, usual, "box",
       "2026-03-02 11:55"},
      {"days alone",
       "Date,box (C)\n2026-03-02,4\n2026-03-03,5.5\n",
       {0, 86400},
       usual,
       "box",
       "2026-03-02 00:00"},
      {"the last row twice", "time [h],box [degC]\n0,4\n1,5.5\n1,5.5\n", hourly, usual},
      {"an hour that is there twice, taken out",
       "when,box (C)\n2026-10-25 02:40,4\n2026-10-25 02:50,5.5\n2026-10-25 02:00,6\n2026-10-25 "
       "02:10,7\n",
       {0, 600, 1200, 1800},
       {4.0, 5.5, 6.0, 7.0},
       "box",
       "2026-10-25 02:40",
       jumps_taken_out()},
      {"an hour that is not there, taken out",
       "when,box (C)\n2026-03-29 01:40,4\n2026-03-29 01:50,5.5\n2026-03-29 03:00,6\n2026-03-29 "
       "03:10,7\n",
       {0, 600, 1200, 1800},
       {4.0, 5.5, 6.0, 7.0},
       "box",
       "2026-03-29 01:40",
       jumps_taken_out()},
      {"an hour that is not there, as written",
       "when,box (C)\n2026-03-29 01:40,4\n2026-03-29 01:50,5.5\n2026-03-29 03:00,6\n2026-03-29 "
       "03:10,7\n",
       {0, 600, 4800, 5400},
       {4.0, 5.5, 6.0, 7.0},
       "box",
       "2026-03-29 01:40"},
      {"irregular rows", "time [s],box [degC]\n0,4\n7,5.5\n500,6\n", {0, 7, 500}, {4.0, 5.5, 6.0}},
      {"a minus sign of typesetting",
       "time [h],box [degC]\n0,\xE2\x88\x92"
       "4\n1,5.5\n",
       hourly,
       {-4.0, 5.5}},
  };
  return all;
}

}  // namespace

TEST_CASE("what loggers export is read, whatever its style", "[cases][record]") {
  CHECK(styles().size() >= 30);
  for (const auto& style : styles()) {
    INFO(style.name);
    std::optional<Record> read;
    try {
      read = read_record_text(decode_text("log.csv", style.bytes), style.choice);
    } catch (const InputError& error) {
      FAIL_CHECK(error.what());
      continue;
    }
    REQUIRE(read->time.size() == style.time.size());
    for (std::size_t i = 0; i < style.time.size(); ++i) {
      CHECK(read->time[i] == Approx(style.time[i]).margin(1e-6));
    }
    REQUIRE(!read->channels.empty());
    const Channel& channel = read->channels.front();
    CHECK(channel.name == style.channel);
    REQUIRE(channel.value.size() == style.celsius.size());
    const double zero = channel.unit.measured == Measured::temperature ? 273.15 : 0;
    for (std::size_t i = 0; i < style.celsius.size(); ++i) {
      CHECK(channel.row[i] == i);
      CHECK(channel.value[i] == Approx(style.celsius[i] + zero).margin(1e-9));
    }
    CHECK(start_of(*read) == style.starts);
  }
}

TEST_CASE("what loggers write in the place of a reading is no reading", "[cases][record]") {
  for (const char* word : {"", "-", "--", "---", "NaN", "nan", "OL", "-OL", "Err", "ERROR", "n/a",
                           "#N/A", "***", "null", "open"}) {
    INFO("'" << word << "'");
    const Record record = read_record_text(decode_text(
        "log.csv",
        std::string("time [h],box [degC],room [degC]\n0,4,20\n1,") + word + ",21\n2,6,22\n"));
    const Channel& box = record.channels.front();
    CHECK(box.missing == 1);
    CHECK(box.value.size() == 2);
    CHECK(box.row == std::vector<std::uint32_t>{0, 2});
    CHECK(record.channels.back().value.size() == 3);
  }
}

TEST_CASE("how a record was read is told", "[cases][record]") {
  const Record record = read_record_text(decode_text(
      "log.csv",
      "Serial;7\r\nDate;Time;box;humidity;note\r\n;;\xB0"
      "C;%RH;\r\n"
      "28.03.2026;23:40;4,5;50;\r\n28.03.2026;23:50;4,6;51;lid\r\n29.03.2026;01:00;4,7;52;\r\n"
      "29.03.2026;01:10;4,8;---;\r\n29.03.2026;01:10;4,8;---;\r\n"));
  CHECK(record.encoding == "Latin-1");
  CHECK(record.line_end == "CRLF");
  CHECK(record.separator == ';');
  CHECK(record.mark == DecimalMark::comma);
  CHECK(record.header_line == 2);
  CHECK(record.unit_line == 3);
  CHECK(record.first_line == 4);
  CHECK(record.time_kind == TimeKind::date_and_time);
  CHECK(record.date_order == DateOrder::day_first);
  CHECK_FALSE(record.zone);
  CHECK(record.last_row_repeated);
  CHECK(record.left_aside == std::vector<std::string>{"note"});
  REQUIRE(record.jumps.size() == 1);
  CHECK(record.jumps[0].line == 6);
  CHECK(record.jumps[0].by == 3600);
  CHECK_FALSE(record.jumps[0].taken_out);
  REQUIRE(record.channels.size() == 2);
  CHECK(record.channels[0].decimals == 1);
  CHECK(record.channels[1].unit.measured == Measured::humidity);
  CHECK(record.channels[1].value.front() == Approx(0.5));
  CHECK(record.channels[1].missing == 1);
}

TEST_CASE("rows with a zone are told it, and its changes", "[cases][record]") {
  const Record record = read_record_text(decode_text(
      "log.csv", "when,box (C)\n2026-10-25T02:55:00+02:00,4\n2026-10-25T02:05:00+01:00,5.5\n"));
  CHECK(record.zone == 7200);
  CHECK(record.zone_from == "rows");
  REQUIRE(record.zone_changes.size() == 1);
  CHECK(record.zone_changes[0].line == 3);
  CHECK(record.zone_changes[0].to == 3600);
  CHECK(record.jumps.empty());
}

TEST_CASE("a column of remarks may be empty for long", "[cases][record]") {
  std::string text = "time [min],box [degC],remark\n";
  for (int i = 0; i < 100; ++i) text += std::to_string(i) + ",4,\n";
  const Record record =
      read_record_text(decode_text("log.csv", text + "100,4,lid open\n101,4,7\n"));
  CHECK(record.left_aside == std::vector<std::string>{"remark"});
  CHECK(record.channels.size() == 1);
}

TEST_CASE("a probe named C is no temperature in degrees C", "[cases][record]") {
  const Record record =
      read_record_text(decode_text("log.csv", "time [h],Temp A,Temp B,Temp C\n0,4,5,6\n1,4,5,6\n"));
  REQUIRE(record.channels.size() == 3);
  for (const auto& channel : record.channels) CHECK(channel.unit.measured == Measured::unnamed);
  CHECK(record.channels[2].name == "Temp C");
  const Record alone =
      read_record_text(decode_text("log.csv", "time [h],Temp C,min,max\n0,4,3,5\n1,4,3,5\n"));
  CHECK(alone.channels[0].unit.measured == Measured::temperature);
  CHECK(alone.channels[0].name == "Temp");
  CHECK(alone.channels[1].name == "min");
}
