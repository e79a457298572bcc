#include <H5Cpp.h>
#include <sys/mman.h>

#include <catch2/catch.hpp>
#include <filesystem>
#include <vector>

#include "cases/read_case.hpp"
#include "solver/history/file_mark.hpp"
#include "solver/history/history_contents.hpp"
#include "solver/history/history_writer.hpp"
#include "support/killed_at_write.hpp"

using namespace thawline;
namespace fs = std::filesystem;
namespace history = solver::history;

namespace {

constexpr const char* small_case = R"(title: small box
box:
  inside: {length: 30 cm, width: 20 cm, height: 20 cm}
  wall: [{material: eps, thickness: 30 mm}]
coolant:
  - {name: ice, material: water_ice, amount: 500 g, form: pack, thickness: 20 mm, place: floor,
     start: -10 degC}
payload:
  - {name: drinks, contents: cola, start: 4 degC,
     cans: {count: 4, volume: 0.33 L, diameter: 66 mm, height: 115 mm}}
surroundings: {air: 30 degC}
limits: [{name: cold, probe: drinks, not_above: 10 degC}]
run: {duration: 3 h, output_every: 20 min, accuracy: 0.5 K)";

/// How far a run in another process was at the end of its last whole step, s; −1 before its start.
class Reached {
 public:
  Reached()
      : time_(static_cast<double*>(mmap(nullptr, sizeof(double), PROT_READ | PROT_WRITE,
                                        MAP_SHARED | MAP_ANONYMOUS, -1, 0))) {
    REQUIRE(time_ != MAP_FAILED);
    *time_ = -1;
  }
  ~Reached() { munmap(time_, sizeof(double)); }
  Reached(const Reached&) = delete;
  Reached& operator=(const Reached&) = delete;
  Reached(Reached&&) = delete;
  Reached& operator=(Reached&&) = delete;
  void note(double time) { *time_ = time; }
  [[nodiscard]] double time() const { return *time_; }

 private:
  double* time_;
};

class Noted : public solver::Watcher {
 public:
  explicit Noted(Reached& reached) : reached_(reached) {}
  void at_instant(const solver::StepView& view) override { reached_.note(view.end); }
  void after_step(const solver::StepView& view) override { reached_.note(view.end); }

 private:
  Reached& reached_;
};

void read_all(const H5::H5File& file, std::vector<char>& memory) {
  const auto read = [](hid_t root, const char* name, const H5O_info_t* info, void* to) -> herr_t {
    if (info->type != H5O_TYPE_DATASET) return 0;
    const hid_t dataset = H5Dopen2(root, name, H5P_DEFAULT);
    const hid_t type = H5Dget_type(dataset);
    const hid_t space = H5Dget_space(dataset);
    auto& bytes = *static_cast<std::vector<char>*>(to);
    bytes.resize(H5Tget_size(type) * static_cast<std::size_t>(H5Sget_simple_extent_npoints(space)));
    const herr_t code =
        dataset < 0 ? -1 : H5Dread(dataset, type, H5S_ALL, H5S_ALL, H5P_DEFAULT, bytes.data());
    H5Sclose(space);
    H5Tclose(type);
    H5Dclose(dataset);
    return code;
  };
  REQUIRE(H5Ovisit(file.getId(), H5_INDEX_NAME, H5_ITER_NATIVE, read, &memory) >= 0);
}

/// Opens as any reader would, reads every dataset, and gives the instants whose rows have come.
std::vector<double> instants_in(const std::string& path) {
  const H5::H5File file(path, H5F_ACC_RDONLY);
  std::vector<char> memory;
  read_all(file, memory);
  const H5::DataSet time = file.openDataSet("time");
  hsize_t rows = 0;
  time.getSpace().getSimpleExtentDims(&rows);
  std::vector<double> instants(rows);
  time.read(instants.data(), H5::PredType::NATIVE_DOUBLE);
  while (!instants.empty() && instants.back() < 0) instants.pop_back();
  return instants;
}

void check_killed_everywhere(const cases::Case& c) {
  H5::Exception::dontPrint();
  const auto network = mesh::build_network(c);
  const fs::path folder = fs::temp_directory_path() / ("killed-" + std::to_string(getpid()));
  const std::string file = (folder / "x.h5").string();
  const std::string part = file + ".part";
  int kills = 0;
  int with_rows = 0;
  while (true) {
    fs::remove_all(folder);
    fs::create_directory(folder);
    Reached reached;
    const bool killed = test::killed_before_write(kills + 1, [&] {
      Noted noted(reached);
      history::HistoryWriter writer(file, c, network);
      writer.finish(solver::run_network(c, network, {&writer, &noted}));
    });
    INFO("killed before write " << kills + 1);
    if (fs::exists(file)) {
      history::check_whole(file, history::FileKind::history, history::layout_version);
      CHECK(instants_in(file).back() == c.run.duration);
    } else if (fs::exists(part)) {
      const auto instants = instants_in(part);
      std::size_t due = 0;
      while (reached.time() >= static_cast<double>(due) * c.run.output_every) ++due;
      CHECK(instants.size() >= due);
      for (std::size_t i = 0; i < instants.size(); ++i) {
        CHECK(instants[i] == Approx(static_cast<double>(i) * c.run.output_every));
      }
      with_rows += instants.size() > 1 ? 1 : 0;
    } else {
      CHECK(reached.time() < 0);
    }
    if (!killed) break;
    ++kills;
    // What was left is in nobody's way.
    if (kills % 40 == 0) {
      history::HistoryWriter writer(file, c, network);
      writer.finish(solver::run_network(c, network, {&writer}));
      CHECK_FALSE(fs::exists(part));
      CHECK_FALSE(fs::exists(file + ".new"));
      CHECK_FALSE(fs::exists(part + ".new"));
    }
  }
  fs::remove_all(folder);
  CHECK(kills > 150);
  CHECK(with_rows > 50);
}

cases::Case small(const std::string& more) {
  const auto shelf =
      cases::read_material_folder(std::string(THAWLINE_SOURCE_DIR) + "/cases/materials");
  return cases::read_case_text("small.yaml", std::string(small_case) + more + "}\n", shelf);
}

}  // namespace

TEST_CASE("a run killed before any of its writes leaves every row up to its last step",
          "[solver][kill]") {
  check_killed_everywhere(small(""));
}

TEST_CASE("so does a section", "[solver][kill]") {
  check_killed_everywhere(small(", detail: 2d, section: {fineness: 0.25}"));
}
