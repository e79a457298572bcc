#include "solver/program/plan_report.hpp"

#include "solver/program/comparison_report.hpp"
#include "solver/program/find_report.hpp"
#include "solver/program/hold_report.hpp"
#include "solver/program/spread_report.hpp"

namespace thawline::program {

namespace {

constexpr std::uint64_t rows_at_once = 4096;

const std::string& limit_sought(const cases::ReadPlan& read) {
  return read.base.limits[read.plan.find->limit].name;
}

}  // namespace

std::string plan_report(const cases::ReadPlan& read, const std::string& table_file) {
  solver::batch::TableFile table(table_file, rows_at_once);
  std::string text;
  if (read.plan.compare) text += "\n" + comparison_text(read);
  if (has_holds(read, table)) text += "\n" + holds_text(read, table);
  if (read.plan.find) text += "\n" + find_text(read.plan, limit_sought(read), table);
  if (solver::batch::SpreadCollector::applies(table.head())) {
    text += "\n" + spread_text(read.plan, read_spread(table));
    const std::string pairs = paired_text(read, table);
    if (!pairs.empty()) text += "\n" + pairs;
  }
  return text;
}

nlohmann::ordered_json plan_report_json(const cases::ReadPlan& read,
                                        const std::string& table_file) {
  solver::batch::TableFile table(table_file, rows_at_once);
  nlohmann::ordered_json json = nlohmann::ordered_json::object();
  if (read.plan.compare) json["compare"] = comparison_json(read);
  if (has_holds(read, table)) json["holds"] = holds_json(read, table);
  if (read.plan.find) json["find"] = find_json(read.plan, limit_sought(read), table);
  if (solver::batch::SpreadCollector::applies(table.head())) {
    json["spread"] = spread_json(read.plan, read_spread(table));
    json["paired"] = paired_json(read, table);
  }
  return json;
}

std::string plan_detail_line(const cases::ReadPlan& read) {
  if (!read.plan.detail) return {};
  const auto& chosen = *read.plan.detail;
  return cases::detail_line(chosen.detail, read.base.run.accuracy, chosen.why) + "\n";
}

nlohmann::ordered_json plan_detail_json(const cases::ReadPlan& read) {
  if (!read.plan.detail) return nullptr;
  return {{"detail", cases::word_of(read.plan.detail->detail)},
          {"accuracy_K", read.base.run.accuracy},
          {"why", read.plan.detail->why}};
}

}  // namespace thawline::program
