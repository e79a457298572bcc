#include "cases/record/record_clock.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace thawline::cases {

namespace {

constexpr double day = 86400;
constexpr double hour = 3600;
constexpr double most_time = 10 * 366 * day;
/// Steps looked at to tell the usual one.
constexpr std::size_t most_steps = 2000;

/// The usual step (s) between rows, from the first ones; 0 when there is none. Steps across a date
/// are left out.
double usual_step(const std::vector<double>& time, const std::vector<DateRun>& runs) {
  std::vector<double> steps;
  std::size_t run = 0;
  for (std::size_t i = 1; i < time.size() && steps.size() < most_steps; ++i) {
    while (run < runs.size() && runs[run].row < i) ++run;
    const bool new_date = run < runs.size() && runs[run].row == i;
    if (!new_date && time[i] > time[i - 1]) steps.push_back(time[i] - time[i - 1]);
  }
  if (steps.empty()) return 0;
  const auto middle = steps.begin() + static_cast<std::ptrdiff_t>((steps.size() - 1) / 2);
  std::nth_element(steps.begin(), middle, steps.end());
  return *middle;
}

double days_of(const WrittenDate& date, DateOrder order) {
  return static_cast<double>(day_of(date, order)->time_since_epoch().count());
}

std::string shown(std::chrono::sys_days when) {
  const std::chrono::year_month_day ymd{when};
  return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(ymd.year()),
                     static_cast<unsigned>(ymd.month()), static_cast<unsigned>(ymd.day()));
}

/// The orders in which every open date is a day of the calendar.
std::vector<DateOrder> possible_orders(const Record& record, const std::vector<DateRun>& runs,
                                       int column) {
  std::vector<DateOrder> orders{DateOrder::day_first, DateOrder::month_first};
  const bool short_years = std::any_of(runs.begin(), runs.end(), [](const DateRun& run) {
    return run.date.order == DateOrder::open && run.date.short_year;
  });
  if (short_years) orders.push_back(DateOrder::year_first);
  for (const auto& run : runs) {
    std::erase_if(orders, [&run](DateOrder order) { return !day_of(run.date, order); });
    if (orders.empty()) {
      fail_at_reading(record, run.row, column,
                      "'{}' is no day of the calendar in the order of the dates above it; expected "
                      "day and month in one order throughout");
    }
  }
  return orders;
}

/// True when rows go on with the usual step from each date to the next.
bool flows(const std::vector<double>& time, const std::vector<DateRun>& runs, DateOrder order,
           double step) {
  for (std::size_t k = 1; k < runs.size(); ++k) {
    const double days = days_of(runs[k].date, order) - days_of(runs[k - 1].date, order);
    const double gone = days * day + time[runs[k].row] - time[runs[k].row - 1];
    if (!(gone > 0 && gone <= 3 * step)) return false;
  }
  return true;
}

DateOrder told_order(Record& record, const std::vector<DateRun>& runs, int column) {
  auto orders = possible_orders(record, runs, column);
  record.date_order_from = "the dates themselves";
  if (orders.size() == 1) return orders.front();
  if (runs.size() > 1) {
    const double step = usual_step(record.time, runs);
    std::vector<DateOrder> flowing;
    for (const auto order : orders) {
      if (flows(record.time, runs, order, step)) flowing.push_back(order);
    }
    record.date_order_from = "the rows that follow each other across midnight in no other order";
    if (flowing.size() == 1) return flowing.front();
  }
  const auto open = std::find_if(runs.begin(), runs.end(), [](const DateRun& run) {
    return run.date.order == DateOrder::open;
  });
  std::string readings;
  std::string keys;
  for (const auto order : orders) {
    readings +=
        fmt::format("{}{}", readings.empty() ? "" : " or ", shown(*day_of(open->date, order)));
    keys += fmt::format("{}`dates: {}`", keys.empty() ? "" : " or ", word_of(order));
  }
  fail_at_reading(record, open->row, column,
                  "'{}' may be " + readings + ", and no row of the file tells which; say " + keys +
                      " (`--dates` on the command line)");
}

}  // namespace

void place_on_calendar(Record& record, const std::vector<DateRun>& runs, DateOrder known,
                       const char* known_from, int column) {
  const bool open = std::any_of(runs.begin(), runs.end(), [](const DateRun& run) {
    return run.date.order == DateOrder::open;
  });
  DateOrder order = runs.front().date.order;
  record.date_order_from = "the way the dates are written";
  if (open && known != DateOrder::open) {
    order = known;
    record.date_order_from = known_from;
  } else if (open) {
    order = told_order(record, runs, column);
  }
  record.date_order = order;
  std::optional<double> first;
  for (std::size_t k = 0; k < runs.size(); ++k) {
    if (!day_of(runs[k].date, order)) {
      const DateOrder own = runs[k].date.order == DateOrder::open ? order : runs[k].date.order;
      fail_at_reading(record, runs[k].row, column,
                      fmt::format("'{{}}' is no day of the calendar, read with the {}",
                                  own == DateOrder::year_first  ? "year first"
                                  : own == DateOrder::day_first ? "day first"
                                                                : "month first"));
    }
    const double days = days_of(runs[k].date, order);
    if (!first) first = days;
    const std::size_t end = k + 1 < runs.size() ? runs[k + 1].row : record.time.size();
    for (std::size_t i = runs[k].row; i < end; ++i) record.time[i] += (days - *first) * day;
  }
  const double utc = *first * day + record.time.front();
  record.first_on_clock = std::chrono::sys_time<std::chrono::milliseconds>(
      std::chrono::milliseconds(std::llround(1000 * (utc + record.zone.value_or(0)))));
}

void check_time(Record& record, HourJumps hour_jumps, int column) {
  auto& time = record.time;
  const bool elapsed =
      record.time_kind == TimeKind::elapsed || record.time_kind == TimeKind::elapsed_clock;
  const double first = time.front();
  if (elapsed) record.first_elapsed = first;
  // Far beyond this the steps would be lost in rounding.
  for (std::size_t i = 0; i < time.size(); ++i) {
    const double since = elapsed ? time[i] : time[i] - first;
    if (std::abs(since) > most_time) {
      fail_at_reading(record, i, column, "the time '{}' is more than 10 years off");
    }
  }
  const bool may_jump = !elapsed && !record.zone;
  const double step = may_jump ? usual_step(time, {}) : 0;
  const double near = std::max(0.1 * step, 1.0);
  double shift = 0;
  double before = first;
  for (std::size_t i = 1; i < time.size(); ++i) {
    const double gone = time[i] - before;
    before = time[i];
    if (gone > 0 && gone < 2 * step) {  // as most are
      time[i] += shift;
      continue;
    }
    const double beyond = gone - step;
    const bool jump =
        may_jump && step > 0 && step <= hour / 2 && std::abs(std::abs(beyond) - hour) <= near;
    const bool take_out = jump && hour_jumps == HourJumps::taken_out;
    if (jump && (gone > 0 || take_out)) {
      record.jumps.push_back({i, 0, std::copysign(hour, beyond), take_out});
    }
    if (gone <= 0 && !take_out) {
      if (jump) {
        fail_at_reading(
            record, i, column,
            "'{}' is an hour back from the row above, as at the end of daylight saving; "
            "say `hour_jumps: taken_out` (`--hour-jumps taken_out`) if it is that");
      }
      if (gone == 0) {
        fail_at_reading(record, i, column,
                        "the time '{}' is that of the row above: this time stands "
                        "twice; times must increase from row to row");
      }
      if (record.time_kind == TimeKind::elapsed_clock && gone < -day / 2) {
        fail_at_reading(record, i, column,
                        "'{}' goes back past midnight; a time of day needs its date, and a time "
                        "since the start must increase from row to row");
      }
      fail_at_reading(record, i, column,
                      "the time '{}' goes back; times must increase from row to row");
    }
    if (take_out) shift -= std::copysign(hour, beyond);
    time[i] += shift;
  }
  for (auto& t : time) t -= first;
}

}  // namespace thawline::cases
