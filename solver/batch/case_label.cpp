#include "solver/batch/case_label.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>

namespace thawline::solver::batch {

namespace {

/// A long text is one of several keys; what it is like is another column's matter.
std::string short_text(const std::string& text) {
  return text.size() > 24 ? text.substr(0, 21) + "..." : text;
}

/// Which of the varied places name the case: those that take several values; of those that step
/// together a title alone, or else what is no piece of YAML.
std::vector<bool> naming(const cases::Plan& plan, const std::vector<cases::CaseInput>& inputs) {
  std::vector<bool> names(inputs.size(), true);
  std::size_t first = 0;
  for (const auto& together : plan.vary) {
    const std::size_t end = first + together.size();
    const auto any = [&](const auto& test) {
      for (std::size_t i = first; i < end; ++i) {
        if (test(i)) return true;
      }
      return false;
    };
    const auto is_title = [&](std::size_t i) { return together[i - first].path.text() == "title"; };
    const auto is_plain = [&](std::size_t i) { return !inputs[i].setting->value.yaml; };
    for (std::size_t i = first; i < end; ++i) {
      names[i] = steps_of(together) < 2 ? false
                 : any(is_title)        ? is_title(i)
                                        : is_plain(i) || !any(is_plain);
    }
    first = end;
  }
  return names;
}

std::string label_of(const cases::Plan& plan, std::uint64_t number, bool with_contender) {
  const auto columns = input_columns(plan);
  const auto inputs = case_inputs(plan, number);
  const auto names = naming(plan, inputs);
  const std::size_t undrawn = inputs.size() - drawn_columns(plan);
  std::string label;
  for (std::size_t i = 0; i < undrawn; ++i) {
    if (!inputs[i].setting || !names[i]) continue;  // it follows from another
    if (!with_contender && std::string_view(columns[i].role) == "contender") continue;
    if (!label.empty()) label += ", ";
    if (columns[i].unit) {
      label += fmt::format("{} {:.6g}{}{}", short_text(columns[i].name), inputs[i].number,
                           columns[i].unit->empty() ? "" : " ", *columns[i].unit);
    } else {
      label += short_text(inputs[i].text);
    }
  }
  return label;
}

/// Letters, figures, points and hyphens.
std::string as_file_name(const std::string& label) {
  constexpr std::size_t most = 60;
  std::string name;
  for (const char c : label) {
    const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
                       c == '.' || c == '_';
    if (plain) {
      name += c;
    } else if (!name.empty() && name.back() != '-') {
      name += '-';
    }
    if (name.size() == most) break;
  }
  while (!name.empty() && (name.back() == '-' || name.back() == '.')) name.pop_back();
  return name;
}

}  // namespace

std::string case_label(const cases::Plan& plan, std::uint64_t number) {
  return label_of(plan, number, true);
}

std::string varied_label(const cases::Plan& plan, std::uint64_t number) {
  return label_of(plan, number, false);
}

std::string history_name(const cases::Plan& plan, std::uint64_t number) {
  const std::size_t width = fmt::format("{}", case_count(plan)).size();
  std::string name = fmt::format("{:0{}}", number, width);
  const std::string label = case_label(plan, number);
  const std::string words = as_file_name(label.empty() ? plan.title : label);
  if (!words.empty()) name += "-" + words;
  if (samples_of(plan) > 1) name += fmt::format("-sample-{}", (number - 1) % samples_of(plan) + 1);
  return name + ".h5";
}

std::vector<cases::Setting> titled_settings(const cases::Plan& plan, const std::string& title,
                                            std::uint64_t number) {
  auto settings = settings_of(case_inputs(plan, number));
  const auto is_title = [](const cases::Setting& setting) {
    return setting.path.steps.size() == 1 && setting.path.steps.front().key == "title";
  };
  const std::string label = case_label(plan, number);
  if (label.empty()) return settings;
  const bool varied = std::any_of(settings.begin(), settings.end(), is_title);
  settings.push_back({{{{"title", 0}}}, {varied ? label : title + ": " + label, false}});
  return settings;
}

}  // namespace thawline::solver::batch
