#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cases/plan.hpp"

/// A trial as plain data: a case, what loggers recorded of it, and what is to be learnt from that.
/// `read_trial` fills it.
namespace thawline::cases {

/// One channel of a record and what it measures.
struct MeasuredChannel {
  std::string channel;       ///< its name in the file
  std::string probe;         ///< of the case; empty for the room, which nothing computed stands for
  double offset = 0;         ///< K it reads too much; already taken off `value`
  double offset_spread = 0;  ///< K, standard deviation of what is left of it
  double noise = 0;          ///< K, standard deviation from reading to reading
  double resolution = 0;     ///< K, 0 when no step stands out
  double interval = 0;       ///< s, median
  std::vector<double> time;  ///< s since packing
  std::vector<double> value;  ///< K
  std::vector<char> used;     ///< 0: left out by the user, or outside the run
};

/// Readings that are not to count, and why.
struct LeftOut {
  double from = 0, to = 0;  ///< s since packing
  std::string why;
  std::vector<std::string> channels;  ///< all when empty
};

/// Melt water weighed at a time.
struct Weighed {
  std::string item;
  double at = 0;      ///< s since packing
  double melted = 0;  ///< kg
  double spread = 0;  ///< kg, standard deviation
};

/// Heat known to have come in up to a time.
struct KnownHeat {
  double until = 0;    ///< s since packing
  double came_in = 0;  ///< J
  double spread = 0;   ///< J, standard deviation
};

/// One test: what was logged and where it differs from the case.
struct TestRecord {
  std::string name, file;
  std::vector<Setting> settings;  ///< what differs from the case in this test
  std::vector<MeasuredChannel> channels;
  std::optional<Trace> surroundings;  ///< takes the place of the case's air
  std::vector<LeftOut> left_out;
  std::vector<Weighed> weighed;
  std::vector<KnownHeat> heat;
  double packed_within = 0;  ///< s, standard deviation of the instant of packing; 0: taken as exact
  std::vector<std::string> notes;  ///< sentences on what was understood
};

/// What is known of a quantity from elsewhere: a normal distribution.
struct KnownValue {
  double mean = 0, spread = 0;
};

/// A value of the case that the records are to tell.
struct FreeValue {
  CasePath path;
  std::string name;
  std::string unit;  ///< of the numbers below; "" for plain ones
  double from = 0, to = 0;
  double start = 0;          ///< the value in the case; the middle where it lies outside the bounds
  bool each_record = false;  ///< every record has its own
  std::optional<KnownValue> known;
  std::vector<WrittenRow> table;  ///< that is multiplied by the number; empty for a single one
  std::string place;              ///< FILE:LINE:COLUMN, for messages
};

struct FitWish {
  std::vector<FreeValue> free;
  int starts = 4;
};

/// Two records to be told apart.
struct VerdictWish {
  std::size_t first = 0, second = 0;  ///< indices into the records
  std::size_t limit = 0;              ///< index into the case's limits
  std::vector<CasePath> coolant;      ///< what is put on the first's terms to see the coolant alone
  std::vector<WrittenValue> of_first;  ///< the values there in the first record
};

struct Trial {
  std::string title, file, text;
  std::vector<TestRecord> records;
  std::optional<FitWish> fit;
  std::optional<VerdictWish> verdict;
};

/// The value put in the place of a free one.
[[nodiscard]] Setting setting_of(const FreeValue& free, double number);

}  // namespace thawline::cases
