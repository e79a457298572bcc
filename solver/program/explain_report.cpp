#include "solver/program/explain_report.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

namespace thawline::program {

namespace {

using nlohmann::ordered_json;
using solver::explain::Answer;
using solver::explain::Explained;
using solver::explain::Part;

const char* step_unit(const Explained& e) {
  return e.question.answer == Answer::worst ? "K" : unit_of(e.question.answer);
}

std::string head_text(const Explained& e) {
  const char* unit = unit_of(e.question.answer);
  std::string what =
      e.question.answer == Answer::heat
          ? "heat that comes in"
          : (e.question.answer == Answer::held ? "hold time of '" : "worst of '") + e.limit + "'";
  return fmt::format("{}\n  {:10.2f} {}  {}\n  {:10.2f} {}  {}\n", what, e.from, unit,
                     e.first_title, e.to, unit, e.second_title);
}

std::string table_text(const Explained& e) {
  std::size_t width = 3;
  for (const Part& part : e.parts) width = std::max(width, part.group.name.size());
  const char* unit = step_unit(e);
  std::string text;
  for (const Part& part : e.parts) {
    const std::string error = e.exact ? "" : fmt::format(" +- {:.2f}", part.error);
    const std::string& changes = part.group.changes;
    text += fmt::format("  {:{}}  {:+9.2f} {}{}   {}\n", part.group.name, width, part.share, unit,
                        error, changes.size() > 90 ? changes.substr(0, 87) + "..." : changes);
  }
  return text + fmt::format("  {:{}}  {:+9.2f} {}\n", "sum", width, e.to - e.from, unit);
}

/// Each reason once, with how many cases have it.
std::string reasons_text(const Explained& e) {
  std::map<std::string, int> counts;
  for (const auto& one : e.not_computed) ++counts[one.reason];
  std::string text;
  for (const auto& [reason, count] : counts) text += fmt::format("    {} x {}\n", count, reason);
  return text;
}

std::string notes_text(const Explained& e) {
  std::string text =
      e.exact ? fmt::format(
                    "Shapley values: the mean over all {:.0f} orders in which the inputs "
                    "may change, from {} cases.\n",
                    e.orders, e.cases)
              : fmt::format(
                    "Shapley values: the mean over {:.0f} random orders in which the "
                    "inputs may change, from {} cases; +- is a standard error.\n",
                    e.orders, e.cases);
  if (!e.not_computed.empty()) {
    text += fmt::format(
        "{} of the cases between the two cannot be computed; the {:.0f} orders that meet one are "
        "left out:\n{}",
        e.not_computed.size(), e.left_out, reasons_text(e));
  }
  if (!e.detail.empty()) text += e.detail + "\n";
  if (e.question.answer != Answer::held) return text;
  if (e.outlasted > 0) {
    text += fmt::format(
        "{} of the cases still hold at the end of their run, eight times as long, "
        "or where their air is known no further; they are cut there.\n",
        e.outlasted);
  }
  if (e.never_within > 0) {
    text += fmt::format("{} of the cases never come within the limit and count as 0 h.\n",
                        e.never_within);
  }
  return text;
}

}  // namespace

std::string explain_report(const Explained& e) {
  if (e.parts.empty()) {
    return head_text(e) + "\nThe two do not differ in any input of a case.\n";
  }
  return head_text(e) + "\n" + table_text(e) + "\n" + explained_sentence(e) + ".\n\n" +
         notes_text(e);
}

ordered_json explain_report_json(const Explained& e) {
  ordered_json json{{"first", {{"file", e.question.first_file}, {"title", e.first_title}}},
                    {"second", {{"file", e.question.second_file}, {"title", e.second_title}}},
                    {"limit", e.limit},
                    {"unit", unit_of(e.question.answer)},
                    {"from", e.from},
                    {"to", e.to},
                    {"sentence", explained_sentence(e)},
                    {"detail", e.detail.empty() ? ordered_json(nullptr) : ordered_json(e.detail)},
                    {"exact", e.exact},
                    {"cases", e.cases},
                    {"orders", e.orders},
                    {"orders_left_out", e.left_out},
                    {"outlasted", e.outlasted},
                    {"never_within", e.never_within},
                    {"groups", ordered_json::array()}};
  for (const Part& part : e.parts) {
    json["groups"].push_back({{"name", part.group.name},
                              {"changes", part.group.changes},
                              {"share", part.share},
                              {"standard_error", part.error}});
  }
  json["not_computed"] = ordered_json::array();
  for (const auto& one : e.not_computed) json["not_computed"].push_back(one.reason);
  return json;
}

std::string impossible_text(const Explained& e) {
  return fmt::format(
      "{} and {}: no order in which the inputs may change can be computed from end to end:\n{}",
      e.question.first_file, e.question.second_file, reasons_text(e));
}

}  // namespace thawline::program
