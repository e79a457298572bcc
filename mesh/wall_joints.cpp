#include "mesh/wall_joints.hpp"

namespace thawline::mesh {

void under_ice(Link& link, const Bath& bath) {
  if (!bath.drained) return;
  link.cover = Cover::under_ice;
  link.ice_hub = bath.hub;
}

void beside_ice(Link& link, const Bath& bath) {
  link.cover = Cover::beside_ice;
  link.ice_hub = bath.hub;
}

void add_to_air(NetworkBuilder& build, const AirSpace& air, const Link& link) {
  for (const AirShare& part : air) {
    Link joined = link;
    joined.b = part.hub;
    joined.conductance *= part.share;
    joined.area *= part.share;
    build.add(joined);
  }
}

void join_inside(NetworkBuilder& build, const Room& room, const BoxFace& face, int hub, double area,
                 const Lying* pack, bool wet) {
  const cases::Box& box = room.the_case->box;
  const Bath& bath = room.bath;
  Link air =
      build.convection(hub, -1, area, face.length, face.facing_inside, box.inside_coefficient);
  Link glow = build.radiation(hub, room.radiant, box.inside_emissivity * area);
  if (pack != nullptr) {
    Link touch = build.conductance(hub, pack->hub, area * pack->coefficient);
    touch.needs = pack->item;
    build.add(touch);
    air.unless = glow.unless = pack->item;
  }
  if (wet) {
    Link touch = build.conductance(hub, bath.hub, area * bath.coefficient);
    touch.needs = bath.item;
    under_ice(touch, bath);
    build.add(touch);
    if (bath.drained) {
      Link beside = air;
      beside.needs = bath.item;
      beside_ice(beside, bath);
      add_to_air(build, room.air, beside);
      Link beside_glow = glow;
      beside_glow.needs = bath.item;
      beside_ice(beside_glow, bath);
      build.add(beside_glow);
    }
    air.unless = glow.unless = bath.item;
  }
  add_to_air(build, room.air, air);
  build.add(glow);
}

void join_outside(NetworkBuilder& build, const Room& room, cases::Place place, int hub,
                  double area) {
  const auto& surroundings = room.the_case->surroundings;
  if (place == cases::Place::floor) {
    build.add(build.to_outside(hub, Outside::ground, Law::conductance,
                               area * surroundings.base_coefficient, build.path("base")));
    return;
  }
  const int path = build.path(place == cases::Place::lid ? "lid" : "sides");
  build.add(build.to_outside(hub, Outside::air, Law::conductance,
                             area * surroundings.outside_coefficient, path));
  if (!surroundings.long_wave) return;
  Link glow = build.to_outside(hub, Outside::air, Law::radiation, 0, path);
  glow.area = room.the_case->box.outside_emissivity * area;
  build.add(glow);
}

void join_pack_to_air(NetworkBuilder& build, const Room& room, int item, double emissivity, int hub,
                      double area, double length, Facing facing) {
  if (area <= 0) return;
  Link link =
      build.convection(hub, -1, area, length, facing, room.the_case->box.inside_coefficient);
  link.needs = item;
  add_to_air(build, room.air, link);
  Link glow = build.radiation(hub, room.radiant, emissivity * area);
  glow.needs = item;
  build.add(glow);
}

}  // namespace thawline::mesh
