#include "solver/batch/fingerprint.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <fstream>
#include <sstream>

#include "cases/read_material.hpp"
#include "solver/history/provenance.hpp"

namespace thawline::solver::batch {

namespace {

std::string text_of_files(const std::vector<std::string>& files) {
  std::string text;
  for (const auto& file : files) {
    std::ifstream stream(file, std::ios::binary);
    std::ostringstream content;
    content << stream.rdbuf();
    text += fmt::format("{}\n{}", content.str().size(), content.str());
  }
  return text;
}

std::string mark_of(const Fingerprint& fingerprint, const std::string& of) {
  const auto found = std::find_if(fingerprint.begin(), fingerprint.end(),
                                  [&of](const Mark& mark) { return mark.of == of; });
  return found == fingerprint.end() ? "" : found->sha256;
}

}  // namespace

Fingerprint fingerprint(const cases::Plan& plan, const std::string& material_folder) {
  using history::sha256;
  const auto program = history::provenance();
  return {{"plan", sha256(plan.text)},
          {"base case", sha256(plan.base.text)},
          {"materials", sha256(text_of_files(cases::material_files(material_folder)))},
          {"traces", sha256(text_of_files(plan.trace_files))},
          {"program", sha256(program.version + " " + program.commit + " " + program.build)}};
}

std::string to_text(const Fingerprint& fingerprint) {
  std::string text;
  for (const auto& mark : fingerprint) text += fmt::format("{}: {}\n", mark.of, mark.sha256);
  return text;
}

Fingerprint from_text(const std::string& text) {
  Fingerprint fingerprint;
  std::istringstream stream(text);
  std::string line;
  while (std::getline(stream, line)) {
    const auto colon = line.find(": ");
    if (colon == std::string::npos) continue;
    fingerprint.push_back({line.substr(0, colon), line.substr(colon + 2)});
  }
  return fingerprint;
}

std::string difference(const Fingerprint& a, const Fingerprint& b) {
  std::vector<std::string> names;
  for (const auto& mark : a) {
    if (mark_of(b, mark.of) != mark.sha256) names.push_back("the " + mark.of);
  }
  if (names.empty() && a.size() != b.size()) names.emplace_back("the inputs");
  return fmt::format("{}", fmt::join(names, " and "));
}

}  // namespace thawline::solver::batch
