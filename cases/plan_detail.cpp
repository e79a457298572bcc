#include "cases/plan_detail.hpp"

#include <algorithm>

#include "cases/entry.hpp"

namespace thawline::cases {

namespace {

/// Most cases of a plan that are read to choose their detail.
constexpr std::uint64_t most_read = 2000;

/// Whether a path reaches `run.detail`.
bool names_detail(const CasePath& path) {
  return path.holds(CasePath{{{"run", 0}, {"detail", 0}}});
}

bool base_names_detail(const ReadPlan& read) { return read.base.run.why_detail.empty(); }

class Choices {
 public:
  explicit Choices(const ReadPlan& read) : base_(base_case(read.plan)), read_(read) {}

  /// A case that cannot be read fails by itself later.
  void look_at(const std::vector<Setting>& settings) {
    try {
      seen_.push_back(choose_detail(base_.read_with(settings, read_.library)));
    } catch (const InputError&) {
      return;
    }
  }

  [[nodiscard]] DetailChoice common() const { return common_detail(seen_); }

 private:
  BaseCase base_;
  const ReadPlan& read_;
  std::vector<DetailChoice> seen_;
};

void settle(const DetailChoice& choice, ReadPlan& read) {
  read.plan.detail = choice;
  read.base = base_case(read.plan).read_with({}, read.library);
}

}  // namespace

void settle_plan_detail(ReadPlan& read) {
  const Plan& plan = read.plan;
  if (base_names_detail(read)) return;
  for (const Varied* varied : varied_places(plan)) {
    if (names_detail(varied->path)) return;
  }
  if (plan.find && names_detail(plan.find->path)) return;
  Choices choices(read);
  const std::uint64_t samples = samples_of(plan);
  const std::uint64_t count = case_count(plan) / samples;
  const std::uint64_t looked_at = std::min(count, most_read);
  for (std::uint64_t i = 0; i < looked_at; ++i) {
    const std::uint64_t which = looked_at < 2 ? 0 : i * (count - 1) / (looked_at - 1);
    auto settings = settings_of(case_inputs(plan, which * samples + 1));
    if (!plan.find) {
      choices.look_at(settings);
      continue;
    }
    settings.emplace_back();
    for (const double end : {plan.find->from, plan.find->to}) {
      settings.back() = {plan.find->path, {written(end, plan.find->unit), false}};
      choices.look_at(settings);
    }
  }
  settle(choices.common(), read);
}

void settle_trial_detail(const Trial& trial, ReadPlan& shared) {
  if (base_names_detail(shared)) return;
  Choices choices(shared);
  for (const TestRecord& record : trial.records) {
    for (const Setting& setting : record.settings) {
      if (names_detail(setting.path)) return;
    }
    choices.look_at(record.settings);
    if (!trial.fit) continue;
    for (const FreeValue& free : trial.fit->free) {
      for (const double end : {free.from, free.to}) {
        auto settings = record.settings;
        settings.push_back(setting_of(free, end));
        choices.look_at(settings);
      }
    }
  }
  settle(choices.common(), shared);
}

}  // namespace thawline::cases
