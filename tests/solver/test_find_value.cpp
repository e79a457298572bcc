#include <catch2/catch.hpp>
#include <cmath>
#include <functional>
#include <string>

#include "solver/batch/find_value.hpp"

namespace {

using namespace thawline;
using namespace thawline::solver::batch;

constexpr double hour = 3600;

/// Seeks 10 h over a range.
cases::Sought sought(double from, double to) {
  cases::Sought sought;
  sought.unit = "mm";
  sought.from = from;
  sought.to = to;
  sought.to_within = std::abs(to - from) / 10000;
  sought.hold = 10 * hour;
  return sought;
}

/// A search among runs that hold for `hours(value)`, 20 h at most; not a number: a case that fails.
Found search(const cases::Sought& asked, const std::function<double(double)>& hours) {
  return find_value(asked, [&hours](double value) {
    Look look;
    look.value = value;
    const double held = hours(value);
    if (std::isnan(held)) {
      look.failure = "does not fit";
      return look;
    }
    look.within = held > 0;
    look.beyond = held >= 20;
    look.held = std::min(held, 20.0) * hour;
    return look;
  });
}

}  // namespace

TEST_CASE("a hold time that grows is found from both ends", "[solver]") {
  const auto hours = [](double x) { return 0.05 * x + 0.0004 * x * x; };
  const double exact = (-0.05 + std::sqrt(0.05 * 0.05 + 4 * 0.0004 * 10)) / (2 * 0.0004);
  for (const auto& asked : {sought(0, 300), sought(300, 0)}) {
    const Found found = search(asked, hours);
    CHECK(found.ending == Ending::found);
    CHECK(std::abs(found.at.value - exact) <= asked.to_within);
    CHECK(found.at.held >= asked.hold);
    CHECK(found.beside.held <= asked.hold);
    CHECK(std::abs(found.at.value - found.beside.value) <= asked.to_within);
    CHECK(found.crossings == 1);
    CHECK(found.looks <= 16);
  }
}

TEST_CASE("a hold time that falls is found", "[solver]") {
  const Found found = search(sought(-30, 0), [](double x) { return 5 - x / 2; });
  CHECK(found.ending == Ending::found);
  CHECK(found.at.value == Approx(-10).margin(0.003));
  CHECK(found.at.held >= 10 * hour);
}

TEST_CASE("runs that outlast their end still bracket the value", "[solver]") {
  const Found found = search(sought(0, 100), [](double x) { return x < 51 ? x / 5 : 1e6; });
  CHECK(found.ending == Ending::found);
  CHECK(found.at.value == Approx(50).margin(0.01));
}

TEST_CASE("a jump across the wanted time is called one", "[solver]") {
  const Found found = search(sought(0, 100), [](double x) { return x < 37.3 ? 6 : 13; });
  CHECK(found.ending == Ending::jump);
  CHECK(found.at.value == Approx(37.3).margin(0.01));
  CHECK(found.at.held == Approx(13 * hour));
  CHECK(found.beside.held == Approx(6 * hour));
  CHECK(found.beside.value < 37.3);
  CHECK(found.at.value >= 37.3);
}

TEST_CASE("of several crossings the one nearest to `from` is given", "[solver]") {
  const auto hours = [](double x) { return 10 + 5 * std::cos(x / 100 * 3 * M_PI); };
  const Found rising = search(sought(0, 100), hours);
  CHECK(rising.crossings == 3);
  CHECK(rising.ending == Ending::found);
  CHECK(rising.at.value == Approx(100.0 / 6).margin(0.01));
  const Found falling = search(sought(100, 0), hours);
  CHECK(falling.at.value == Approx(500.0 / 6).margin(0.01));
}

TEST_CASE("a peak between the first looks is not missed", "[solver]") {
  const auto hours = [](double x) { return 11 - std::pow((x - 44) / 5, 2); };
  const Found found = search(sought(0, 100), hours);
  CHECK(found.ending == Ending::found);
  CHECK(found.at.value == Approx(39).margin(0.01));
  CHECK(found.crossings == 2);
}

TEST_CASE("what no value can do is said with the best there is", "[solver]") {
  const Found low = search(sought(0, 100), [](double x) { return 9 - std::pow((x - 44) / 50, 2); });
  CHECK(low.ending == Ending::too_short);
  CHECK(low.at.value == Approx(44).margin(1));
  CHECK(low.crossings == 0);
  const Found never = search(sought(0, 100), [](double) { return 0; });
  CHECK(never.ending == Ending::too_short);
  CHECK(!never.at.within);
  const Found high = search(sought(0, 100), [](double x) { return 12 + x / 100; });
  CHECK(high.ending == Ending::too_long);
  CHECK(high.at.value == 0);
}

TEST_CASE("the edge of what can be computed is looked at", "[solver]") {
  const auto up_to = [](double edge) {
    return [edge](double x) { return x > edge ? std::nan("") : x / 5; };
  };
  const Found reached = search(sought(0, 100), up_to(50.5));
  CHECK(reached.ending == Ending::found);
  CHECK(reached.at.value == Approx(50).margin(0.01));
  const Found missed = search(sought(0, 100), up_to(49.5));
  CHECK(missed.ending == Ending::too_short);
  CHECK(missed.edge.failed());
  CHECK(missed.edge.value == Approx(49.5).margin(0.01));
  CHECK(missed.at.value == Approx(49.5).margin(0.01));
  const Found none = search(sought(0, 100), [](double) { return std::nan(""); });
  CHECK(none.ending == Ending::failed);
  CHECK(none.at.failure == "does not fit");
}

TEST_CASE("a case that fails where it would hold ends the search there", "[solver]") {
  const auto hours = [](double x) { return x > 39 && x < 60 ? std::nan("") : x / 4; };
  const Found found = search(sought(0, 100), hours);
  CHECK(found.ending == Ending::jump);
  CHECK(found.at.value == Approx(60).margin(0.01));
  CHECK(found.beside.failed());
}
