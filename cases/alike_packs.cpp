#include "cases/alike_packs.hpp"

#include <algorithm>
#include <map>

namespace thawline::cases {

namespace {

bool happens_to(const Case& c, const std::string& item) {
  return std::any_of(c.happenings.begin(), c.happenings.end(), [&item](const Happening& h) {
    const auto* add = std::get_if<AddItem>(&h.what);
    const auto* remove = std::get_if<RemoveItem>(&h.what);
    return (add != nullptr && add->item == item) || (remove != nullptr && remove->item == item);
  });
}

bool alike(const Coolant& a, const Coolant& b) {
  return a.material.name == b.material.name && a.form == b.form && a.place == b.place &&
         a.thickness == b.thickness && a.start == b.start &&
         a.start_liquid_fraction == b.start_liquid_fraction && a.liquid_mixing == b.liquid_mixing &&
         a.contact.coefficient == b.contact.coefficient && !a.contact.area && !b.contact.area;
}

}  // namespace

std::vector<PackBody> pack_bodies(const Case& c) {
  std::vector<PackBody> bodies(c.coolants.size());
  std::vector<double> mass(c.coolants.size(), 0);
  std::map<Place, std::size_t> before;
  for (std::size_t i = 0; i < c.coolants.size(); ++i) {
    const Coolant& pack = c.coolants[i];
    std::size_t first = i;
    if (pack.form == CoolantForm::pack) {
      const auto neighbour = before.find(pack.place);
      if (neighbour != before.end()) {
        const Coolant& other = c.coolants[neighbour->second];
        if (alike(pack, other) && !happens_to(c, pack.name) && !happens_to(c, other.name)) {
          first = static_cast<std::size_t>(bodies[neighbour->second].first);
        }
      }
      before[pack.place] = i;
    }
    bodies[i].first = static_cast<int>(first);
    mass[first] += pack.mass;
  }
  for (std::size_t i = 0; i < bodies.size(); ++i) {
    bodies[i].share = c.coolants[i].mass / mass[static_cast<std::size_t>(bodies[i].first)];
  }
  return bodies;
}

Case with_bodies_joined(const Case& c, const std::vector<PackBody>& bodies) {
  Case joined = c;
  for (std::size_t i = 0; i < bodies.size(); ++i) {
    const auto first = static_cast<std::size_t>(bodies[i].first);
    if (first == i) continue;
    const Coolant& part = c.coolants[i];
    joined.coolants[first].mass += part.mass;
    joined.coolants[i].mass = 0;
    for (Payload& payload : joined.payloads) {
      if (payload.stands.pack != part.name) continue;
      const double face = volume_of(part) / part.thickness;
      payload.stands.pack = c.coolants[first].name;
      payload.stands.area = std::min(payload.stands.area.value_or(face), face);
    }
  }
  return joined;
}

}  // namespace thawline::cases
