#include "random_cases/random_case.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cases/read_trace.hpp"
#include "random_cases/random_box.hpp"
#include "random_cases/random_contents.hpp"
#include "random_cases/random_material.hpp"
#include "random_cases/random_weather.hpp"

namespace thawline::random_cases {

namespace {

class CaseDraw {
 public:
  CaseDraw(std::uint64_t seed, std::uint64_t index, Kind kind, const cases::MaterialShelf& shelf)
      : draw_(seed, index), shelf_(shelf) {
    drawn_.name = fmt::format("case-{}-{}", seed, index);
    drawn_.kind = kind;
  }

  DrawnCase draw() {
    tree_["title"] = "random case " + drawn_.name;
    add_materials();
    const DrawnBox box = draw_box(draw_, is_section());
    tree_["box"] = box.entry;
    add_contents(box.inside);
    const double duration = draw_.by_ratio(4 * 3600.0, (is_section() ? 48 : 200) * 3600.0);
    const auto surroundings = draw_surroundings(draw_, duration, drawn_.name + ".csv");
    tree_["surroundings"] = surroundings.entry;
    drawn_.trace = surroundings.trace;
    const YAML::Node happenings = draw_happenings(draw_, duration, items_);
    if (happenings.size() > 0) tree_["happenings"] = happenings;
    add_run(duration);
    add_limits();
    drawn_.yaml = YAML::Dump(tree_) + "\n";
    return drawn_;
  }

 private:
  [[nodiscard]] bool is_section() const {
    return drawn_.kind == Kind::section || drawn_.kind == Kind::section_with_air;
  }

  void add_materials() {
    const int own = draw_.chance(0.5) ? draw_.whole(1, 3) : 0;
    for (int i = 1; i <= own; ++i) {
      const std::string name = fmt::format("own_{}", i);
      tree_["materials"][name] = draw_material(draw_);
      own_.push_back(name);
    }
    if (own == 0) return;
    const cases::SourceText source{drawn_.name, YAML::Dump(tree_["materials"])};
    cases::read_materials(cases::parse_yaml(source), shelf_);
  }

  void add_contents(const Inside& inside) {
    ContentsDraw contents(draw_, inside, shelf_, own_, drawn_.kind == Kind::section_with_air);
    static const std::vector<int> coolants{0, 1, 1, 1, 1, 2, 2, 3};
    static const std::vector<int> payloads{0, 1, 1, 1, 1, 2, 2, 3};
    const int cold = draw_.one_of(coolants);
    const int goods = draw_.one_of(payloads);
    for (int i = 1; i <= cold; ++i) {
      items_.push_back(fmt::format("coolant {}", i));
      tree_["coolant"].push_back(contents.coolant(items_.back()));
    }
    for (int i = 1; i <= goods; ++i) {
      items_.push_back(fmt::format("goods {}", i));
      tree_["payload"].push_back(contents.payload(items_.back()));
    }
  }

  void add_run(double duration) {
    YAML::Node run;
    run["duration"] = fmt::format("{:.1f} s", duration);
    if (draw_.chance(0.5)) run["accuracy"] = fmt::format("{:.4g} K", draw_.by_ratio(0.02, 0.5));
    if (drawn_.kind == Kind::columns) run["detail"] = "1d";
    if (is_section()) {
      run["detail"] = "2d";
      run["section"]["fineness"] = fmt::format("{:.3g}", draw_.by_ratio(0.25, 0.7));
      run["section"]["most_cells"] = 4000;
    }
    if (drawn_.kind == Kind::section_with_air) {
      run["section"]["air_conductivity"] = fmt::format("{:.4g} W/m/K", draw_.by_ratio(0.025, 3));
    }
    tree_["run"] = run;
  }

  /// Of any probes that the case offers; it is read once to learn them.
  void add_limits() {
    const int limits = draw_.whole(0, 4);
    if (limits == 0) return;
    drawn_.yaml = YAML::Dump(tree_);
    const auto probes = cases::probe_names(read(drawn_, shelf_));
    for (int i = 1; i <= limits; ++i) {
      YAML::Node limit;
      limit["name"] = fmt::format("limit {}", i);
      const int watched = draw_.chance(0.7) ? 1 : draw_.whole(2, 4);
      for (int k = 0; k < watched; ++k) limit["probe"].push_back(draw_.one_of(probes));
      limit[draw_.chance(0.7) ? "not_above" : "not_below"] =
          fmt::format("{:.5g} degC", draw_.between(-25, 35));
      tree_["limits"].push_back(limit);
    }
  }

  Draw draw_;
  cases::MaterialShelf shelf_;
  DrawnCase drawn_;
  YAML::Node tree_;
  std::vector<std::string> own_, items_;
};

}  // namespace

DrawnCase draw_case(std::uint64_t seed, std::uint64_t index, Kind kind,
                    const cases::MaterialShelf& shelf) {
  return CaseDraw(seed, index, kind, shelf).draw();
}

cases::Case read(const DrawnCase& drawn, const cases::MaterialShelf& shelf) {
  cases::TraceShelf traces;
  if (!drawn.trace.empty()) {
    const std::string file = drawn.name + ".csv";
    traces[file] = cases::open_logged_text({file, drawn.trace});
  }
  const cases::SourceText source{drawn.name + ".yaml", drawn.yaml};
  return cases::read_case_tree(cases::parse_yaml(source), shelf, traces);
}

}  // namespace thawline::random_cases
