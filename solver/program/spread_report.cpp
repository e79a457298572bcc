#include "solver/program/spread_report.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>

#include "solver/program/table_rows.hpp"

namespace thawline::program {

namespace {

using nlohmann::ordered_json;
using solver::batch::Held;
using solver::batch::HeldQuantile;
using solver::batch::LimitSpread;
using solver::batch::quantile_shares;
using solver::batch::Spread;
using solver::statistics::Estimated;

constexpr std::size_t most_combinations = 12;

std::string text_of(const Held& held) { return held_text(held.outcome, held.hours); }

std::string interval_text(const HeldQuantile& quantile) {
  const std::string low = quantile.bounded_below ? text_of(quantile.low) : "unknown";
  const std::string high = quantile.bounded_above ? text_of(quantile.high) : "unknown";
  return fmt::format("{} to {}", low, high);
}

std::string count_text(const LimitSpread& spread) {
  std::string text = fmt::format(
      "of {} cases {} ended", spread.ended + spread.outlasted + spread.never_within + spread.failed,
      spread.ended);
  if (spread.outlasted > 0) text += fmt::format(", {} outlasted the run", spread.outlasted);
  if (spread.never_within > 0) text += fmt::format(", {} never came within", spread.never_within);
  if (spread.failed > 0) text += fmt::format(", {} failed and are left out", spread.failed);
  return text;
}

std::string share_text(const Estimated& e) {
  return fmt::format("{:5.2f} ({:5.2f} to {:5.2f})", e.value, e.low, e.high);
}

/// Inputs by how much they matter in all, the most first.
std::vector<std::size_t> by_total(const LimitSpread& spread) {
  std::vector<std::size_t> order(spread.indices.size());
  std::iota(order.begin(), order.end(), 0U);
  std::sort(order.begin(), order.end(), [&spread](std::size_t a, std::size_t b) {
    return spread.indices[a].total.value > spread.indices[b].total.value;
  });
  return order;
}

std::string ranking_text(const Spread& all, const LimitSpread& spread) {
  if (spread.indices.empty()) {
    return "    no ranking: the hold time does not vary, or too many cases failed\n";
  }
  std::size_t width = 0;
  for (const auto& name : all.inputs) width = std::max(width, name.size());
  std::string text = fmt::format("    {:{}}  {:>22}  {:>22}\n", "share of the variance", width,
                                 "by itself", "with others");
  for (const std::size_t i : by_total(spread)) {
    text += fmt::format("    {:{}}  {:>22}  {:>22}\n", all.inputs[i], width,
                        share_text(spread.indices[i].first), share_text(spread.indices[i].total));
  }
  text += fmt::format("    from {} rows; in brackets 95 % intervals", spread.rows);
  if (spread.outlasted + spread.never_within > 0) {
    text += "; hold times are cut at the end of the run and 0 where never within";
  }
  return text + "\n";
}

std::string limit_text(const Spread& all, const LimitSpread& spread) {
  std::string text = "    " + count_text(spread) + "\n";
  for (std::size_t k = 0; k < spread.quantiles.size(); ++k) {
    const auto& quantile = spread.quantiles[k];
    text += fmt::format("    P{:.0f}  {:>12}  (95 % interval {})\n", 100 * quantile_shares[k],
                        text_of(quantile.value), interval_text(quantile));
  }
  return all.inputs.empty() ? text : text + ranking_text(all, spread);
}

ordered_json held_json(const Held& held) {
  static const char* const words[] = {"ended", "outlasted", "never_within"};
  return {{"held_h", held.hours}, {"outcome", words[static_cast<std::size_t>(held.outcome)]}};
}

ordered_json estimated_json(const Estimated& e) {
  return {{"value", e.value}, {"low", e.low}, {"high", e.high}};
}

ordered_json limit_json(const Spread& all, const LimitSpread& spread) {
  ordered_json json{{"ended", spread.ended},
                    {"outlasted", spread.outlasted},
                    {"never_within", spread.never_within},
                    {"failed", spread.failed}};
  for (std::size_t k = 0; k < spread.quantiles.size(); ++k) {
    const auto& q = spread.quantiles[k];
    auto& entry = json[fmt::format("P{:.0f}", 100 * quantile_shares[k])];
    entry = held_json(q.value);
    entry["low"] = q.bounded_below ? held_json(q.low) : ordered_json(nullptr);
    entry["high"] = q.bounded_above ? held_json(q.high) : ordered_json(nullptr);
  }
  if (all.inputs.empty()) return json;
  json["rows"] = spread.rows;
  for (std::size_t i = 0; i < spread.indices.size(); ++i) {
    json["indices"][all.inputs[i]] = {{"first_order", estimated_json(spread.indices[i].first)},
                                      {"total", estimated_json(spread.indices[i].total)}};
  }
  return json;
}

}  // namespace

Spread read_spread(solver::batch::TableFile& table) {
  solver::batch::SpreadCollector collector(table.head());
  for (std::uint64_t i = 0; i < table.head().cases; ++i) collector.add(table.row(i));
  return collector.spread();
}

std::string spread_text(const cases::Plan& plan, const Spread& spread) {
  std::string text = "Spread of hold times: 10 % of the cases hold no longer than P10, and so on\n";
  const std::size_t shown = std::min(spread.combinations.size(), most_combinations);
  for (std::size_t k = 0; k < shown; ++k) {
    const std::string label = case_label(plan, k * samples_of(plan) + 1);
    for (std::size_t i = 0; i < spread.limits.size(); ++i) {
      text += fmt::format("  {}{}{}\n", label, label.empty() ? "" : ": ", spread.limits[i]);
      text += limit_text(spread, spread.combinations[k][i]);
    }
  }
  if (shown < spread.combinations.size()) {
    text += fmt::format("  ... and {} more combinations in the table\n",
                        spread.combinations.size() - shown);
  }
  return text;
}

ordered_json spread_json(const cases::Plan& plan, const Spread& spread) {
  ordered_json json = ordered_json::array();
  for (std::size_t k = 0; k < spread.combinations.size(); ++k) {
    ordered_json entry{{"combination", k + 1},
                       {"inputs", case_label_json(plan, k * samples_of(plan) + 1)}};
    for (std::size_t i = 0; i < spread.limits.size(); ++i) {
      entry["limits"][spread.limits[i]] = limit_json(spread, spread.combinations[k][i]);
    }
    json.push_back(entry);
  }
  return json;
}

}  // namespace thawline::program
