#include "solver/program/channel_picture.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <vector>

namespace thawline::program {

namespace {

constexpr std::size_t wide = 64;
constexpr std::size_t high = 8;

struct Bin {
  double least = std::numeric_limits<double>::infinity();
  double most = -std::numeric_limits<double>::infinity();
  double sum = 0;
  std::size_t count = 0;
};

std::array<Bin, wide> bins_of(const cases::Record& record, const cases::Channel& channel) {
  std::array<Bin, wide> bins;
  const double end = record.time.back();
  for (std::size_t k = 0; k < channel.value.size(); ++k) {
    const double share = record.time[channel.row[k]] / end;
    Bin& bin = bins[std::min(static_cast<std::size_t>(share * wide), wide - 1)];
    const double value = channel.unit.as_written(channel.value[k]);
    bin.least = std::min(bin.least, value);
    bin.most = std::max(bin.most, value);
    bin.sum += value;
    ++bin.count;
  }
  return bins;
}

}  // namespace

std::string channel_picture(const cases::Record& record, const cases::Channel& channel) {
  if (channel.value.size() < 2) return {};
  const auto bins = bins_of(record, channel);
  double least = std::numeric_limits<double>::infinity();
  double most = -least;
  for (const auto& bin : bins) {
    if (bin.count == 0) continue;
    least = std::min(least, bin.least);
    most = std::max(most, bin.most);
  }
  const double span = most - least;
  const auto line_of = [&](double value) -> std::size_t {
    if (!(span > 0)) return high / 2;
    return static_cast<std::size_t>(std::lround((most - value) / span * (high - 1)));
  };
  std::vector<std::string> lines(high, std::string(wide, ' '));
  for (std::size_t i = 0; i < wide; ++i) {
    const Bin& bin = bins[i];
    if (bin.count == 0) continue;
    for (std::size_t l = line_of(bin.most); l <= line_of(bin.least); ++l) lines[l][i] = ':';
    lines[line_of(bin.sum / static_cast<double>(bin.count))][i] = 'o';
  }
  const std::string top = fmt::format("{:.4g}", most);
  const std::string bottom = fmt::format("{:.4g}", least);
  const std::size_t margin = std::max(top.size(), bottom.size());
  std::string text;
  for (std::size_t l = 0; l < high; ++l) {
    std::string label = l == 0 ? top : l + 1 == high ? bottom : "";
    if (!(span > 0)) label = l == high / 2 ? top : "";
    std::string line = fmt::format("    {:>{}} |{}", label, margin, lines[l]);
    line.erase(line.find_last_not_of(' ') + 1);
    text += line + "\n";
  }
  const std::string end = fmt::format("{:.4g} h", record.time.back() / 3600);
  text += fmt::format("    {:>{}} +{:-<{}}\n", "", margin, "", wide);
  text += fmt::format("    {:>{}}  0{:>{}}\n", "", margin, end, wide - 1);
  return text;
}

}  // namespace thawline::program
