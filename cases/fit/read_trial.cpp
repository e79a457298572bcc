#include "cases/fit/read_trial.hpp"

#include <fmt/format.h>
#include <algorithm>

#include "cases/fit/read_fit.hpp"
#include "cases/fit/read_test_record.hpp"
#include "cases/plan_detail.hpp"

namespace thawline::cases {

namespace {

constexpr std::size_t most_trial_bytes = 1U << 20U;

void refuse_same_record(const Entry& entry, const Trial& trial) {
  const std::string& name = trial.records.back().name;
  const auto same = std::count_if(trial.records.begin(), trial.records.end(),
                                  [&name](const TestRecord& r) { return r.name == name; });
  if (same < 2) return;
  (entry.has("name") ? entry.at("name") : entry.at("file"))
      .fail(fmt::format("two records are called '{}'; give one its own 'name'", shortened(name)));
}

}  // namespace

ReadTrial read_trial(const std::string& file, const std::string& material_folder) {
  ReadTrial out;
  out.shared.library.materials = read_material_folder(material_folder);
  const SourceText source = read_text_file(file, most_trial_bytes);
  const Entry root = parse_yaml(source);
  root.check_keys("trial");
  Trial& trial = out.trial;
  trial.title = root.at("title").line();
  trial.file = source.file;
  trial.text = source.text;
  PlanPlaces places(root.at("case"), material_folder, out.shared);
  const Entry records = root.at("records");
  need_list(records);
  for (const auto& item : records.items()) {
    trial.records.push_back(read_test_record(item, places));
    refuse_same_record(item, trial);
  }
  if (const auto fit = root.find("fit")) trial.fit = read_fit(*fit, places);
  if (const auto verdict = root.find("verdict")) {
    trial.verdict = read_verdict(*verdict, places, trial);
  }
  take_traces(places.tree(), out.shared);
  settle_trial_detail(trial, out.shared);
  return out;
}

}  // namespace thawline::cases
