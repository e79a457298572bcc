#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <random>
#include <string>

#include "cases/record/channel_character.hpp"
#include "cases/record/read_record.hpp"

using namespace thawline::cases;

namespace {

/// A box that warms in the way of an exponential, read every minute with white noise and rounded.
std::string warming(double noise, double step, int rows, unsigned seed) {
  std::mt19937 engine(seed);
  std::normal_distribution<double> error(0, noise);
  std::string text = "time [min],box [degC]\n";
  for (int i = 0; i < rows; ++i) {
    const double true_value = 25 - 21 * std::exp(-i / 900.0);
    const double value = true_value + (noise > 0 ? error(engine) : 0);
    text += fmt::format("{},{:.4f}\n", i, std::round(value / step) * step);
  }
  return text;
}

ChannelCharacter character_in(const std::string& text) {
  const Record record = read_record_text(decode_text("log.csv", text));
  return character_of(record, record.channels.front());
}

}  // namespace

TEST_CASE("the noise put into a record is found in it", "[cases][record]") {
  for (const double noise : {0.1, 0.2, 0.5}) {
    for (const double step : {0.0001, 0.1}) {
      for (const unsigned seed : {1U, 2U, 3U}) {
        INFO("noise " << noise << ", step " << step << ", seed " << seed);
        const auto found = character_in(warming(noise, step, 2880, seed));
        REQUIRE(found.noise);
        // Rounding adds its own; the median of 2880 distances spreads by some 3 %.
        const double wanted = std::sqrt(noise * noise + step * step / 12);
        CHECK(*found.noise == Approx(wanted).epsilon(0.12));
      }
    }
  }
}

TEST_CASE("noise is told in the unit of the file", "[cases][record]") {
  std::string text = warming(0.2, 0.0001, 2880, 4);
  const double as_celsius = *character_in(text).noise;
  text.replace(text.find("degC"), 4, "degF");
  CHECK(*character_in(text).noise == Approx(as_celsius));
}

TEST_CASE("a lid opening is no noise", "[cases][record]") {
  std::string quiet = "time [min],box [degC]\n";
  std::mt19937 engine(5);
  std::normal_distribution<double> error(0, 0.2);
  for (int i = 0; i < 1000; ++i) {
    const bool open = i % 100 < 3;
    quiet += fmt::format("{},{:.3f}\n", i, (open ? 18 : 5) + error(engine));
  }
  CHECK(*character_in(quiet).noise == Approx(0.2).epsilon(0.15));
}

TEST_CASE("noise smaller than the resolution is not made up", "[cases][record]") {
  const auto found = character_in(warming(0, 0.5, 2880, 1));
  CHECK_FALSE(found.noise);
  CHECK(found.noise_hidden);
  const auto few = character_in("time [h],box [degC]\n0,4\n1,5.5\n2,4.5\n");
  CHECK_FALSE(few.noise);
  CHECK_FALSE(few.noise_hidden);
}

TEST_CASE("the step of the values is found", "[cases][record]") {
  for (const double step : {0.1, 0.5, 0.0625, 1.0}) {
    INFO(step);
    const auto found = character_in(warming(0.2, step, 2880, 7));
    REQUIRE(found.resolution);
    CHECK(*found.resolution == Approx(step).epsilon(0.01));
  }
  // 1/16 printed with two decimals
  std::string rounded = "time [min],box [degC]\n";
  for (int i = 0; i < 400; ++i) rounded += fmt::format("{},{:.2f}\n", i, 4 + 0.0625 * (i / 4));
  CHECK(*character_in(rounded).resolution == Approx(0.0625).epsilon(0.02));
  std::string steady = "time [min],box [degC]\n0,4.0\n1,4.0\n2,4.0\n";
  CHECK_FALSE(character_in(steady).resolution);
}

TEST_CASE("intervals and gaps are those of the channel", "[cases][record]") {
  const Record record = read_record_text(decode_text("log.csv",
                                                     "time [min],box [degC],room [degC]\n0,4,20\n"
                                                     "1,4.1,20\n2,4.2,20\n3,---,20\n4,---,20\n"
                                                     "5,4.3,20\n6,4.4,20\n7,4.5,20\n8,4.6,20\n"
                                                     "9,4.7,20\n10,4.8,20\n11,4.9,20\n12,5,20\n"));
  const auto box = character_of(record, record.channels[0]);
  CHECK(box.interval == 60);
  CHECK(box.regular);
  CHECK(box.gap_beyond == Approx(90));
  CHECK(box.gaps == 1);
  CHECK(box.longest_gap == 180);
  CHECK(box.longest_gap_at == 120);
  CHECK(character_of(record, record.channels[1]).gaps == 0);
  const auto irregular =
      character_in("time [s],box [degC]\n0,4\n7,4\n30,4.1\n31,4\n60,4.2\n500,4\n520,4\n");
  CHECK_FALSE(irregular.regular);
  CHECK(irregular.gaps == 1);
  CHECK(irregular.longest_gap == 440);
}

TEST_CASE("a channel without readings has no character", "[cases][record]") {
  const auto none = character_in("time [h],box [degC],room [degC]\n0,,1\n1,---,1\n2,OL,1\n");
  CHECK(none.gaps == 0);
  CHECK_FALSE(none.noise);
  CHECK_FALSE(none.resolution);
}
