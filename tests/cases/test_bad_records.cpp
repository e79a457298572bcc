#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "cases/record/read_record.hpp"

using namespace thawline::cases;

namespace {

struct BadRecord {
  const char* name;
  std::string bytes;
  const char* place;  ///< line and column
  const char* read;   ///< what was read or is wrong
  const char* expected = "";
  RecordChoice choice = {};
};

RecordChoice dates(DateOrder order) {
  RecordChoice choice;
  choice.dates = order;
  return choice;
}

RecordChoice for_the_air() {
  RecordChoice choice;
  choice.needs_temperature = true;
  return choice;
}

const std::string head = "time [h],box [degC],room [degC]\n";
const std::string dated = "when,box [degC]\n2026-03-02 14:00,4\n2026-03-02 14:10,5\n";
const std::string two = "Date,Time,box [degC]\n2026-03-02,14:00,4\n2026-03-02,14:10,5\n";

const std::vector<BadRecord>& bad_records() {
  static const std::vector<BadRecord> all{
      // not a text
      {"nothing", "", "1:1", "is empty"},
      {"blank lines", "\n \r\n\t\n", "1:1", "is empty"},
      {"a byte order mark alone", "\xEF\xBB\xBF", "1:1", "is empty"},
      {"a control character",
       head + "0,4,\x01"
              "20\n",
       "2:5", "is not plain text"},
      {"zeros at the end", head + "0,4,20\n1,5,21\n" + std::string(3, '\0'), "4:1",
       "is not plain text"},
      {"broken UTF-8 behind its mark", "\xEF\xBB\xBF" + head + "0,4,\xFF\n", "2:5",
       "is not plain text"},
      {"a byte Windows-1252 has no use for", head + "0,4,\x81\n", "2:5", "is not plain text"},
      {"half a character of UTF-16", std::string("\xFF\xFEt\0\xD8", 5), "1:2", "is not plain text"},
      // no table
      {"one column", "temperature\n4\n5\n", "1:1", "holds no header", "time [h], air [degC]"},
      {"words", "this is no record\nat all\n", "1:1", "holds no header"},
      {"comments alone", "# time [h],box [degC]\n", "1:1", "holds no header"},
      {"no header", "0,4\n1,5\n", "1:1", "no header stands above", "time [h]"},
      {"no header above dates", "2026-03-02 14:10,4\n2026-03-02 14:20,5\n", "1:1",
       "no header stands above"},
      {"no readings", head, "1:1", "ends after 0 readings", "at least two"},
      {"no readings under a row of units", "time;box\nh;degC\n", "2:1", "ends after 0 readings"},
      {"one reading", head + "0,4,20\n", "2:1", "ends after 1 reading;", "at least two"},
      {"one reading twice", head + "0,4,20\n0,4,20\n", "2:1", "ends after 1 reading;"},
      // header
      {"time without a unit", "time,box [degC]\n0,4\n1,5\n", "1:1", "names no unit", "time [h]"},
      {"time in metres", "time [m],box [degC]\n0,4\n1,5\n", "1:1", "'m' is not a unit of time",
       "time [h]"},
      {"time in a unknown unit", "time [moons],box [degC]\n0,4\n1,5\n", "1:1",
       "in brackets is not a unit of time", "time [h]"},
      {"nothing names a time", "box,room\n4,20\n5,21\n", "1:1", "names no unit of time",
       "time [h]"},
      {"a name twice", "time [h],box [degC],box [degC]\n0,4,20\n1,5,21\n", "1:21",
       "columns 2 and 3 are both named 'box'", "a name of its own"},
      {"a name twice in two units", "time [h];box (C);room (C);box (F)\n0;4;20;39\n1;5;21;41\n",
       "1:27", "columns 2 and 4 are both named 'box'"},
      {"a name twice in the row of names", "time,box,box\nh,degC,degC\n0,4,20\n1,5,21\n", "1:10",
       "both named 'box'"},
      {"no temperature for the air", "time [h],damp [%RH]\n0,40\n1,50\n", "1:10",
       "'%RH' is not a unit of temperature", "air [degC]", for_the_air()},
      {"no unit for the air", "time [h],air\n0,4\n1,5\n", "1:10", "names no unit", "air [degC]",
       for_the_air()},
      {"an unknown unit for the air", "time [h],air [hot]\n0,4\n1,5\n", "1:10",
       "in brackets is not a unit of temperature", "air [degC]", for_the_air()},
      {"words alone for the air", "time [h],air\n0,mild\n1,warm\n2,hot\n", "1:1",
       "no column of readings", "air [degC]", for_the_air()},
      // rows
      {"a cell too many", head + "0,4,20\n1,5,21,7\n", "3:1", "4 cells are here", "has 3 columns"},
      {"a cell too few", head + "0,4,20\n1,5\n", "3:1", "2 cells are here", "has 3 columns"},
      {"a lone cell", head + "0,4,20\nend of record\n", "3:1", "1 cell is here", "has 3 columns"},
      {"decimal commas between commas", "time [h],box [degC]\n0,4\n1,5,5\n", "3:1",
       "3 cells are here", "a point, not a comma"},
      {"another separator below", "time [h];box [degC]\n0;4\n1;5\n2,6\n", "4:1", "1 cell is here"},
      {"an open quotation mark", head + "0,4,20\n1,\"5,21\n", "3:3", "is never closed"},
      {"text behind a quotation mark", head + "0,4,20\n1,\"5\"5,21\n", "3:6",
       "text follows a closing quotation mark", "a separator is expected"},
      // readings
      {"a word", head + "0,4,20\n1,warm,21\n", "3:3", "'warm' is not a finite number"},
      {"a word in the first row", "time [h],box [degC]\n0,warm\n1,5\n", "2:3",
       "'warm' is not a finite number"},
      {"a word under a number without a unit", "time [h],box\n0,4\n1,5\n2,warm\n", "4:3",
       "'warm' is not a finite number"},
      {"infinity", head + "0,4,20\n1,inf,21\n", "3:3", "'inf' is not a finite number"},
      {"too large a number", head + "0,4,20\n1,1e999,21\n", "3:3",
       "'1e999' is not a finite number"},
      {"too large a number in its unit", "time [h],box [MK]\n0,0\n1,1e305\n", "3:3",
       "'1e305' is not a finite number"},
      {"a hexadecimal number", head + "0,4,20\n1,0x10,21\n", "3:3", "'0x10' is not"},
      {"two numbers", head + "0,4,20\n1,5 6,21\n", "3:3", "'5 6' is not"},
      {"two signs", head + "0,4,20\n1,+-5,21\n", "3:3", "'+-5' is not"},
      {"a mark between thousands", "time [h];box [degC]\n0;4,5\n1;1.234,5\n", "3:3",
       "'1.234,5' is not", "between thousands"},
      {"a point among commas", "time [h];box [degC]\n0;4,5\n1;5.5\n", "3:3", "'5.5' is not",
       "have a decimal comma"},
      {"a comma among points", "time [h];box [degC]\n0;4.5\n1;5,5\n", "3:3", "'5,5' is not",
       "have a decimal point"},
      {"below absolute zero", head + "0,4,20\n1,-300,21\n", "3:3", "'-300' is below absolute zero"},
      {"below absolute zero in kelvin", "time [h],box [K]\n0,280\n1,-5\n", "3:3",
       "'-5' is below absolute zero"},
      {"a date for a reading", head + "0,4,20\n1,2026-03-02,21\n", "3:3", "'2026-03-02' is not"},
      {"another unit behind a number",
       "time [h];box\n0;4 \xC2\xB0"
       "C\n1;41 \xC2\xB0"
       "F\n",
       "3:3", "has another unit than the rows above",
       "expected \xC2\xB0"
       "C"},
      {"a unit behind a number under a header with one", "time [h];box [degC]\n0;4\n1;41 F\n",
       "3:3", "'41 F'"},
      {"characters before a column of Latin-1",
       "time [h];box (\xB0"
       "C);caf\xE9 (\xB0"
       "C)\n0;4;20\n1;\xE9;20\n",
       "3:3", "is not a finite number"},
      {"a line in CR", "time [h],box [degC]\r0,4\r1,warm\r", "3:3", "'warm' is not"},
      {"a line in CRLF", "time [h],box [degC]\r\n0,4\r\n1,warm\r\n", "3:3", "'warm' is not"},
      {"a line behind a header of two", "time [h],\"box\n[degC]\"\n0,4\n1,warm\n", "4:3",
       "'warm' is not"},
      // elapsed time
      {"time that goes back", head + "0,4,20\n2,5,21\n1,6,22\n", "4:1", "the time '1' goes back",
       "must increase"},
      {"a time twice", head + "0,4,20\n1,5,21\n1,6,22\n", "4:1", "'1' is that of the row above",
       "must increase"},
      {"a row twice before the end", head + "0,4,20\n0,4,20\n1,6,22\n", "3:1", "stands twice"},
      {"a missing time", head + "0,4,20\n,5,21\n", "3:1", "the time is missing"},
      {"dashes for a time", head + "0,4,20\n---,5,21\n", "3:1", "'---' is not a finite number"},
      {"a word for a time", head + "0,4,20\nnoon,5,21\n", "3:1", "'noon' is not a finite number"},
      {"a time far off", head + "0,4,20\n1e6,5,21\n", "3:1", "'1e6' is more than 10 years off"},
      {"sixty minutes", "elapsed,box (C)\n0:00:00,4\n0:60:00,5\n", "3:1", "'0:60:00' is not a time",
       "01:30:00"},
      {"past midnight without a date", "clock,box (C)\n23:50:00,4\n00:00:00,5\n", "3:1",
       "goes back past midnight", "needs its date"},
      // dates
      {"a number for a date", dated + "5,6\n", "4:1", "'5' is not a date and a time",
       "2026-03-02 14:10"},
      {"a date without its time", dated + "2026-03-02,6\n", "4:1",
       "'2026-03-02' is not a date and a time", "2026-03-02 14:10"},
      {"an empty date", dated + ",6\n", "4:1", "'' is not a date and a time"},
      {"the 13th month", dated + "2026-13-02 14:20,6\n", "4:1", "no day of the calendar",
       "year first"},
      {"30 February", dated + "2026-02-30 14:20,6\n", "4:1", "no day of the calendar"},
      {"25 o'clock", dated + "2026-03-02 25:20,6\n", "4:1", "is not a date and a time"},
      {"13 PM", dated + "2026-03-02 13:20 PM,6\n", "4:1", "is not a date and a time"},
      {"a date that goes back", dated + "2026-03-01 14:20,6\n", "4:1", "goes back",
       "must increase"},
      {"a date far off", dated + "2126-03-01 14:20,6\n", "4:1", "more than 10 years off"},
      {"a clock that goes back by an hour", dated + "2026-03-02 13:20,6\n", "4:1",
       "an hour back from the row above", "hour_jumps: taken_out"},
      {"a zone in one row", dated + "2026-03-02 14:20Z,6\n", "4:1", "has a zone", "have none"},
      {"a zone left out", "when,box (C)\n2026-03-02 14:00Z,4\n2026-03-02 14:10,5\n", "3:1",
       "has no zone", "have one"},
      {"day or month", "when,box (C)\n02/03/2026 14:00,4\n02/03/2026 14:10,5\n", "2:1",
       "'02/03/2026 14:00' may be 2026-03-02 or 2026-02-03", "`dates: day_first`"},
      {"day or month in the second column",
       "no.,Date,Time,box (C)\n1,2/3/2026,14:00,4\n2,2/3/2026,14:10,5\n", "2:3",
       "'2/3/2026' may be", "`dates: month_first`"},
      {"day, month or year", "when,box (C)\n02/03/04 14:00,4\n02/03/04 14:10,5\n", "2:1",
       "2004-03-02 or 2004-02-03 or 2002-03-04", "`dates: year_first`"},
      {"day and month in no order", "when,box (C)\n13/02/2026 14:00,4\n02/13/2026 14:10,5\n", "3:1",
       "'02/13/2026 14:10' is no day", "one order throughout"},
      {"neither day nor month", "when,box (C)\n14/13/2026 14:00,4\n14/13/2026 14:10,5\n", "2:1",
       "is no day"},
      {"an order that cannot be", "when,box (C)\n27/03/2026 14:00,4\n27/03/2026 14:10,5\n", "2:1",
       "'27/03/2026 14:00' is no day of the calendar", "month first",
       dates(DateOrder::month_first)},
      {"a word for a date", two + "soon,14:20,6\n", "4:1", "'soon' is not a date", "2026-03-02"},
      {"a word for a time of day", two + "2026-03-02,noon,6\n", "4:12",
       "'noon' is not a time of day", "14:10:00"},
      {"a time of day beyond the day", two + "2026-03-02,25:00:00,6\n", "4:12",
       "'25:00:00' is not a time of day"},
      {"a time of day that goes back", two + "2026-03-02,14:05,6\n", "4:12", "goes back"},
  };
  return all;
}

}  // namespace

TEST_CASE("broken records are refused with their place", "[cases][record]") {
  CHECK(bad_records().size() >= 50);
  for (const auto& bad : bad_records()) {
    INFO(bad.name);
    std::string message = "was read";
    try {
      (void)read_record_text(decode_text("log.csv", bad.bytes), bad.choice);
    } catch (const InputError& error) {
      message = error.what();
    }
    CHECK_THAT(message, Catch::StartsWith(std::string("log.csv:") + bad.place + ": "));
    CHECK_THAT(message, Catch::Contains(bad.read));
    CHECK_THAT(message, Catch::Contains(bad.expected));
    CHECK(message.find('\0') == std::string::npos);
  }
}
