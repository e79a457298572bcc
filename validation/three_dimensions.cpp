// A box in three dimensions, for checks of the developed section. Apart from the library in all but
// the words of its input: explicit finite volumes for enthalpy on a quarter of the box (two planes
// of symmetry), steps by the stability limit, melting cells at their melting point, no front inside
// a cell. The air and the long-wave exchange are one node each without heat capacity, the load is
// one lumped body.
//
// Reads a JSON object from standard input (SI, temperatures in degC, heat capacities by volume):
//
//   inside     [length, width, height]
//   wall       [{k, c, thickness} ...]      from the inside outward, alike on all six walls
//   films      {inside, outside, base, emissivity}     W/m2/K
//   packs      [{x, y, z: [from, to] ..., k_solid, k_liquid, c_solid, c_liquid, latent, melts_at,
//                start, contact, body}]     x and y in the quarter, 0 in the middle; parts of one
//                pack
//                                           have the same number as body, from 1
//   load       {area, capacity, start, stands: [{body, area, contact} ...]}    m2, J/K; `area` is
//              that in the air, `stands` what rests on upward faces of a body (0: the base), spread
//              evenly over them
//   leak       W/K
//   ambient, start, hours, limits [degC ...]
//   grid       {near, largest, across_packs, least_step}    m, m, m, s: cells at faces, growing by
//              1.4 up to the largest; across packs; wall cells too small for a step as long have
//              their heat capacity raised (only corners of thin liners are)
//
// and writes one: the load's and the air's temperature and the heat that came in until then (J)
// every quarter of an hour, when the load passed each limit, when each pack was 50, 90 and 99 %
// melted (h), the heat that came in (J).

#include <algorithm>
#include <array>
#include <cmath>
#include <iostream>
#include <nlohmann/json.hpp>
#include <vector>

namespace {

using nlohmann::json;

constexpr double stefan_boltzmann = 5.670374419e-8;

struct Material {
  double k_solid = 0, k_liquid = 0, c_solid = 0, c_liquid = 0, latent = 0, melts_at = 0;
  double start = 0, contact = 0;
  int body = 0;  ///< 0 wall, else of a pack
  std::array<std::array<double, 2>, 3> region{};
};

/// Adds lines from the last one to `to`: cells of `near` at both ends, growing by 1.4 to the middle
/// up to `largest`.
void add_lines(std::vector<double>& lines, double to, double near, double largest) {
  const double from = lines.back();
  const double half = (to - from) / 2;
  std::vector<double> sizes;
  double sum = 0;
  for (double size = near; sum < half; size = std::min(1.4 * size, largest)) {
    sizes.push_back(size);
    sum += size;
  }
  // All by one factor, so that they end in the middle; two cells at least.
  for (double& size : sizes) size *= half / sum;
  for (const double size : sizes) lines.push_back(lines.back() + size);
  for (std::size_t i = sizes.size(); i-- > 0;) lines.push_back(lines.back() + sizes[i]);
  lines.back() = to;
}

struct Face {
  int a = 0, b = -1;                        ///< cells; b −1: the face sees `beyond`
  double area = 0, half_a = 0, half_b = 0;  ///< m2, m
  double contact = 0;                       ///< W/m2/K between bodies; 0: one body
};

/// A surface of a cell towards the room or the outside.
struct Surface {
  int cell = 0;
  double area = 0, half = 0;
  int sees = 0;  ///< 0 room, 1 ambient, 2 what it stands on
  bool up = false;
  double touched = 0;  ///< share of it that the load stands on
  double contact = 0;  ///< W/m2/K there
  double temperature = 0;
};

class Box {
 public:
  explicit Box(const json& job) : job_(job) {
    for (int axis = 0; axis < 3; ++axis)
      inside_[axis] = job["inside"][static_cast<std::size_t>(axis)];
    for (const json& layer : job["wall"]) thickness_ += layer["thickness"].get<double>();
    read_packs();
    set_lines();
    fill();
    join();
    stand();
  }

  json run() {
    const double hours = job_["hours"];
    const double dt = stable_step();
    const auto steps = static_cast<long>(std::ceil(3600 * hours / dt));
    const double exact_dt = 3600 * hours / static_cast<double>(steps);
    load_ = job_["load"]["start"];
    air_ = radiant_ = job_["start"];
    json out{{"cells", cells_.size()},
             {"step_s", exact_dt},
             {"load", json::array()},
             {"air", json::array()},
             {"heat", json::array()}};
    double next = 0;
    for (long i = 0; i <= steps; ++i) {
      const double time = static_cast<double>(i) * exact_dt;
      if (time >= next - 1e-6) {
        out["load"].push_back(load_);
        out["air"].push_back(air_);
        out["heat"].push_back(heat_in_);
        next += 900;
      }
      watch(time, out);
      step(exact_dt);
    }
    out["heat_in"] = heat_in_;
    return out;
  }

 private:
  struct Cell {
    int material = 0;
    double volume = 0, enthalpy = 0, temperature = 0, fraction = 0, k = 0;
    int body = 0;
    double more_capacity = 1;
  };

  void read_packs() {
    for (const json& layer : job_["wall"]) {
      materials_.push_back({layer["k"], layer["k"], layer["c"], layer["c"]});
    }
    for (const json& p : job_["packs"]) {
      Material m{p["k_solid"],  p["k_liquid"], p["c_solid"], p["c_liquid"], p["latent"],
                 p["melts_at"], p["start"],    p["contact"], p["body"]};
      bodies_ = std::max(bodies_, m.body);
      const char* names[] = {"x", "y", "z"};
      for (std::size_t axis = 0; axis < 3; ++axis) {
        m.region[axis] = {p[names[axis]][0], p[names[axis]][1]};
      }
      materials_.push_back(m);
    }
    walls_ = static_cast<int>(job_["wall"].size());
  }

  void set_lines() {
    for (std::size_t axis = 0; axis < 3; ++axis) {
      const bool upright = axis == 2;
      const double end = upright ? inside_[2] : inside_[axis] / 2;
      std::vector<double> faces{0, end};
      double depth = 0;
      for (const json& layer : job_["wall"]) {
        depth += layer["thickness"].get<double>();
        faces.push_back(end + depth);
        if (upright) faces.push_back(-depth);
      }
      for (std::size_t p = static_cast<std::size_t>(walls_); p < materials_.size(); ++p) {
        faces.push_back(materials_[p].region[axis][0]);
        faces.push_back(materials_[p].region[axis][1]);
      }
      std::sort(faces.begin(), faces.end());
      lines_[axis] = {faces.front()};
      for (const double to : faces) {
        const double from = lines_[axis].back();
        if (to - from < 1e-9) continue;
        const json& grid = job_["grid"];
        const double most = grid[across_pack(axis, from, to) ? "across_packs" : "largest"];
        if (to - from < grid["near"].get<double>()) {
          lines_[axis].push_back(to);  // a thin liner or skin
        } else {
          add_lines(lines_[axis], to, std::min(grid["near"].get<double>(), most), most);
        }
      }
    }
  }

  /// Whether a pack lies across an interval of an axis, its thickness along that.
  [[nodiscard]] bool across_pack(std::size_t axis, double from, double to) const {
    constexpr double thickest = 0.06;  // m
    for (std::size_t p = static_cast<std::size_t>(walls_); p < materials_.size(); ++p) {
      const auto& r = materials_[p].region[axis];
      if (r[1] - r[0] < thickest && from > r[0] - 1e-9 && to < r[1] + 1e-9) return true;
    }
    return false;
  }

  [[nodiscard]] std::size_t count(std::size_t axis) const { return lines_[axis].size() - 1; }
  [[nodiscard]] std::size_t place(std::size_t i, std::size_t j, std::size_t k) const {
    return (k * count(1) + j) * count(0) + i;
  }
  [[nodiscard]] double middle(std::size_t axis, std::size_t i) const {
    return (lines_[axis][i] + lines_[axis][i + 1]) / 2;
  }
  [[nodiscard]] double width(std::size_t axis, std::size_t i) const {
    return lines_[axis][i + 1] - lines_[axis][i];
  }

  /// Material at a place: a layer by the deepest of the three depths, a pack, or −1 for the room.
  [[nodiscard]] int material_at(double x, double y, double z) const {
    const double depth = std::max({x - inside_[0] / 2, y - inside_[1] / 2, z - inside_[2], -z});
    if (depth > 0) {
      double end = 0;
      for (int layer = 0; layer < walls_; ++layer) {
        end += job_["wall"][static_cast<std::size_t>(layer)]["thickness"].get<double>();
        if (depth < end) return layer;
      }
      return walls_ - 1;
    }
    for (std::size_t p = static_cast<std::size_t>(walls_); p < materials_.size(); ++p) {
      const auto& r = materials_[p].region;
      if (x > r[0][0] && x < r[0][1] && y > r[1][0] && y < r[1][1] && z > r[2][0] && z < r[2][1]) {
        return static_cast<int>(p);
      }
    }
    return -1;
  }

  void fill() {
    cell_at_.assign(count(0) * count(1) * count(2), -1);
    const double inner = job_["start"];
    const double outer = job_["ambient"];
    for (std::size_t k = 0; k < count(2); ++k) {
      for (std::size_t j = 0; j < count(1); ++j) {
        for (std::size_t i = 0; i < count(0); ++i) {
          const double x = middle(0, i);
          const double y = middle(1, j);
          const double z = middle(2, k);
          const int material = material_at(x, y, z);
          if (material < 0) continue;
          Cell cell;
          cell.material = material;
          cell.body = materials_[static_cast<std::size_t>(material)].body;
          cell.volume = width(0, i) * width(1, j) * width(2, k);
          const double depth =
              std::max({x - inside_[0] / 2, y - inside_[1] / 2, z - inside_[2], -z});
          const double start = cell.body > 0 ? material_of(cell).start
                                             : inner + depth / thickness_ * (outer - inner);
          const Material& m = material_of(cell);
          cell.enthalpy = start <= m.melts_at || m.latent == 0
                              ? m.c_solid * (start - m.melts_at)
                              : m.latent + m.c_liquid * (start - m.melts_at);
          cell_at_[place(i, j, k)] = static_cast<int>(cells_.size());
          cells_.push_back(cell);
        }
      }
    }
    for (Cell& cell : cells_) set_state(cell);
  }

  [[nodiscard]] const Material& material_of(const Cell& cell) const {
    return materials_[static_cast<std::size_t>(cell.material)];
  }

  void set_state(Cell& cell) const {
    const Material& m = material_of(cell);
    if (m.latent == 0) {
      cell.temperature = m.melts_at + cell.enthalpy / m.c_solid;
      cell.k = m.k_solid;
      return;
    }
    cell.fraction = std::clamp(cell.enthalpy / m.latent, 0.0, 1.0);
    cell.temperature = m.melts_at + (cell.enthalpy < 0   ? cell.enthalpy / m.c_solid
                                     : cell.fraction < 1 ? 0
                                                         : (cell.enthalpy - m.latent) / m.c_liquid);
    cell.k = (1 - cell.fraction) * m.k_solid + cell.fraction * m.k_liquid;
  }

  void join() {
    for (std::size_t axis = 0; axis < 3; ++axis) {
      for (std::size_t k = 0; k < count(2); ++k) {
        for (std::size_t j = 0; j < count(1); ++j) {
          for (std::size_t i = 0; i < count(0); ++i) {
            const std::array<std::size_t, 3> at{i, j, k};
            join_along(axis, at);
          }
        }
      }
    }
  }

  /// The face on the low side of a place, and on the high side where the grid ends.
  void join_along(std::size_t axis, const std::array<std::size_t, 3>& at) {
    double area = 1;
    for (std::size_t other = 0; other < 3; ++other) {
      if (other != axis) area *= width(other, at[other]);
    }
    const int here = cell_at_[place(at[0], at[1], at[2])];
    const double half = width(axis, at[axis]) / 2;
    if (at[axis] + 1 == count(axis) && here >= 0) surfaces_.push_back({here, area, half, 1});
    if (at[axis] == 0) {
      // Planes of symmetry in x and y; what the box stands on below.
      if (axis == 2 && here >= 0) surfaces_.push_back({here, area, half, 2});
      return;
    }
    std::array<std::size_t, 3> before = at;
    --before[axis];
    const int other = cell_at_[place(before[0], before[1], before[2])];
    const double other_half = width(axis, before[axis]) / 2;
    if (here < 0 && other < 0) return;
    if (here < 0 || other < 0) {
      surfaces_.push_back(
          {std::max(here, other), area, here < 0 ? other_half : half, 0, axis == 2 && here < 0});
      return;
    }
    const Cell& a = cells_[static_cast<std::size_t>(here)];
    const Cell& b = cells_[static_cast<std::size_t>(other)];
    const double contact =
        a.body == b.body ? 0 : std::max(material_of(a).contact, material_of(b).contact);
    faces_.push_back({here, other, area, half, other_half, contact});
  }

  /// Spreads what the load stands on over the upward faces of its body.
  void stand() {
    for (const json& on : job_["load"]["stands"]) {
      const int body = on["body"];
      const auto is_under = [&](const Surface& s) {
        return s.sees == 0 && s.up && cells_[static_cast<std::size_t>(s.cell)].body == body;
      };
      double all = 0;
      for (const Surface& s : surfaces_) all += is_under(s) ? s.area : 0;
      for (Surface& s : surfaces_) {
        if (!is_under(s)) continue;
        s.touched = on["area"].get<double>() / 4 / all;
        s.contact = on["contact"];
      }
    }
  }

  /// Four fifths of the longest explicit step that is stable. Wall cells that would need a shorter
  /// one than `least_step` are given more heat capacity.
  [[nodiscard]] double stable_step() {
    std::vector<double> out(cells_.size(), 0);
    const auto most = [&](int cell) {
      const Material& m = material_of(cells_[static_cast<std::size_t>(cell)]);
      return std::max(m.k_solid, m.k_liquid);
    };
    for (const Face& f : faces_) {
      const double gap = f.contact > 0 ? 1 / f.contact : 0;
      const double g = f.area / (f.half_a / most(f.a) + f.half_b / most(f.b) + gap);
      out[static_cast<std::size_t>(f.a)] += g;
      out[static_cast<std::size_t>(f.b)] += g;
    }
    constexpr double strongest_film = 40;  // W/m2/K, of all that a surface sees
    for (const Surface& s : surfaces_) {
      out[static_cast<std::size_t>(s.cell)] +=
          s.area / (s.half / most(s.cell) + 1 / strongest_film);
    }
    const double least_step = job_["grid"]["least_step"];
    double least = 1e9;
    bool any_raised = false;
    for (std::size_t i = 0; i < cells_.size(); ++i) {
      const Material& m = material_of(cells_[i]);
      const double step =
          0.8 * cells_[i].volume * std::min(m.c_solid, m.c_liquid) / (out[i] + 1e-12);
      if (cells_[i].body == 0 && step < least_step) {
        cells_[i].more_capacity = least_step / step;
        any_raised = true;
      } else {
        least = std::min(least, step);
      }
    }
    return std::min(least, any_raised ? least_step : least);
  }

  void step(double dt) {
    const json& films = job_["films"];
    const double inside = films["inside"];
    const double outside = films["outside"];
    const double base = films["base"];
    const double emissivity = films["emissivity"];
    const double ambient = job_["ambient"];
    gain_.assign(cells_.size(), 0);
    for (const Face& f : faces_) {
      const Cell& a = cells_[static_cast<std::size_t>(f.a)];
      const Cell& b = cells_[static_cast<std::size_t>(f.b)];
      const double gap = f.contact > 0 ? 1 / f.contact : 0;
      const double flow =
          f.area / (f.half_a / a.k + f.half_b / b.k + gap) * (a.temperature - b.temperature);
      gain_[static_cast<std::size_t>(f.a)] -= flow;
      gain_[static_cast<std::size_t>(f.b)] += flow;
    }
    double air_g = 0;
    double air_gt = 0;
    double glow_g = 0;
    double glow_gt = 0;
    double came_in = 0;
    double from_below = 0;
    const double r = radiant_ + 273.15;
    for (Surface& s : surfaces_) {
      const Cell& cell = cells_[static_cast<std::size_t>(s.cell)];
      const double g = s.area * cell.k / s.half;
      double to = 0;
      double to_t = 0;
      if (s.sees == 0) {
        const double t = s.temperature + 273.15;
        double glow = emissivity * stefan_boltzmann * (t * t + r * r) * (t + r) * s.area;
        const double bare = 1 - s.touched;
        const double film = bare * inside * s.area;
        glow *= bare;
        const double touch = s.touched * s.contact * s.area;
        to = film + glow + touch;
        to_t = film * air_ + glow * radiant_ + touch * load_;
        s.temperature = (g * cell.temperature + to_t) / (g + to);
        from_below += touch * (s.temperature - load_);
        air_g += film;
        air_gt += film * s.temperature;
        glow_g += glow;
        glow_gt += glow * s.temperature;
      } else {
        to = (s.sees == 1 ? outside : base) * s.area;
        to_t = to * ambient;
        s.temperature = (g * cell.temperature + to_t) / (g + to);
        came_in += g * (s.temperature - cell.temperature);
      }
      gain_[static_cast<std::size_t>(s.cell)] += g * (s.temperature - cell.temperature);
    }
    // The whole box has four of these quarters.
    const double area = job_["load"]["area"].get<double>() / 4;
    const double t = load_ + 273.15;
    const double load_glow = emissivity * stefan_boltzmann * (t * t + r * r) * (t + r) * area;
    const double leak = job_["leak"].get<double>() / 4;
    const double to_load = inside * area * (air_ - load_) + load_glow * (radiant_ - load_);
    came_in += leak * (ambient - air_);
    air_ = (air_gt + inside * area * load_ + leak * ambient) / (air_g + inside * area + leak);
    radiant_ = (glow_gt + load_glow * load_) / (glow_g + load_glow);
    load_ += dt * (to_load + from_below) / (job_["load"]["capacity"].get<double>() / 4);
    heat_in_ += 4 * dt * came_in;
    for (std::size_t i = 0; i < cells_.size(); ++i) {
      cells_[i].enthalpy += dt * gain_[i] / (cells_[i].volume * cells_[i].more_capacity);
      set_state(cells_[i]);
    }
  }

  void watch(double time, json& out) {
    const auto packs = static_cast<std::size_t>(bodies_);
    std::vector<double> melted(packs, 0);
    std::vector<double> volume(packs, 0);
    for (const Cell& cell : cells_) {
      if (cell.body == 0) continue;
      const auto p = static_cast<std::size_t>(cell.body - 1);
      melted[p] += cell.volume * cell.fraction;
      volume[p] += cell.volume;
    }
    for (std::size_t p = 0; p < packs; ++p) {
      for (const int share : {50, 90, 99}) {
        json& at = out["melted"][std::to_string(p)][std::to_string(share)];
        if (at.is_null() && melted[p] >= share / 100.0 * volume[p]) at = time / 3600;
      }
    }
    for (const double limit : job_["limits"]) {
      json& at = out["passed"][std::to_string(static_cast<int>(limit))];
      if (at.is_null() && load_ > limit) at = time / 3600;
    }
  }

  json job_;
  std::array<double, 3> inside_{};
  double thickness_ = 0;
  int walls_ = 0, bodies_ = 0;
  std::vector<Material> materials_;
  std::array<std::vector<double>, 3> lines_;
  std::vector<int> cell_at_;
  std::vector<Cell> cells_;
  std::vector<Face> faces_;
  std::vector<Surface> surfaces_;
  std::vector<double> gain_;
  double air_ = 0, radiant_ = 0, load_ = 0, heat_in_ = 0;
};

}  // namespace

int main() {
  const json job = json::parse(std::cin);
  std::cout << Box(job).run().dump(1) << "\n";
}
