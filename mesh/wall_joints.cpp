#include "mesh/wall_joints.hpp"

#include <algorithm>

namespace thawline::mesh {

namespace {

/// Of what is left when a drained coolant has all gone: as good as nothing.
constexpr double last_share = 1e-4;

template <class Share, class Bare>
BathCovers covers(NetworkBuilder& build, const Bath& bath, const Share& share, const Bare& bare) {
  BathCovers made;
  made.touching = build.add_cover(bath.hub, [&](double fraction) {
    return std::max(last_share, share(fraction) * wetness(fraction, bath.coefficient));
  });
  made.bare = build.add_cover(bath.hub, [&](double fraction) { return bare(share(fraction)); });
  return made;
}

double rest(double share) { return 1 - share; }

}  // namespace

BathCovers covers_between(NetworkBuilder& build, const Bath& bath, double bottom, double top) {
  const auto share = [&](double fraction) { return share_below(bath.bed, fraction, bottom, top); };
  BathCovers made = covers(build, bath, share, rest);
  if (!bath.bed.drained && top <= bath.lowest()) made.bare = -1;
  return made;
}

BathCovers covers_of_band(NetworkBuilder& build, const Bath& bath, double bottom, double top) {
  constexpr double last_of_it = 0.03;
  const auto share = [&](double fraction) { return share_below(bath.bed, fraction, bottom, top); };
  return covers(build, bath, share,
                [](double covered) { return std::max(0.0, 1 - covered / last_of_it); });
}

BathCovers covers_of_floor(NetworkBuilder& build, const Bath& bath) {
  const auto share = [&](double fraction) { return floor_share(bath.bed, fraction); };
  return covers(build, bath, share, rest);
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

void join_bath(NetworkBuilder& build, const Bath& bath, const AirSpace& around, double area,
               const BathCovers& covers, Link& air, Link& glow) {
  Link touch = build.conductance(air.a, bath.hub, area * bath.coefficient);
  touch.needs = air.needs;
  touch.needs_too = bath.item;
  touch.cover = covers.touching;
  build.add(touch);
  if (covers.bare >= 0) {
    Link beside = air;
    Link beside_glow = glow;
    beside.needs_too = beside_glow.needs_too = bath.item;
    beside.cover = beside_glow.cover = covers.bare;
    add_to_air(build, around, beside);
    build.add(beside_glow);
  }
  air.unless = glow.unless = bath.item;
}

StandingShares standing_on(const Room& room, int pack, double area, double whole) {
  StandingShares shares;
  if (whole <= 0) return shares;
  for (const StandingHub& s : room.standing) {
    if (s.on.pack == pack) shares.push_back({&s, s.on.area * std::min(1.0, area / whole)});
  }
  return shares;
}

namespace {

Link part_of(Link link, double share) {
  link.conductance *= share;
  link.area *= share;
  return link;
}

/// Adds the links of a surface of `area` (m2) to the air and the other surfaces, `air` and `glow`
/// for all of it, as far as nothing stands on it.
void add_bare(NetworkBuilder& build, const AirSpace& around, double area,
              const StandingShares& standing, const Link& air, const Link& glow) {
  double wanted = 0;
  for (const StandingShare& s : standing) wanted += s.area;
  const double room = wanted > area ? area / wanted : 1;
  double bare = area;
  for (const StandingShare& s : standing) {
    const double stood_on = room * s.area;
    if (stood_on <= 0) continue;
    Link touch = build.conductance(s.standing->hub, air.a, stood_on * s.standing->on.coefficient);
    touch.needs = s.standing->item;
    touch.needs_too = air.needs;
    build.add(touch);
    // The same place while it is not there.
    Link air_there = part_of(air, stood_on / area);
    Link glow_there = part_of(glow, stood_on / area);
    air_there.unless = glow_there.unless = s.standing->item;
    add_to_air(build, around, air_there);
    build.add(glow_there);
    bare -= stood_on;
  }
  if (bare <= 1e-9 * area) return;
  add_to_air(build, around, part_of(air, bare / area));
  build.add(part_of(glow, bare / area));
}

}  // namespace

void join_inside(NetworkBuilder& build, const Room& room, const BoxFace& face, int hub, double area,
                 const Lying* pack, const BathCovers* wet, const StandingShares& standing) {
  const cases::Box& box = room.the_case->box;
  Link air =
      build.convection(hub, -1, area, face.length, face.facing_inside, box.inside_coefficient);
  Link glow = build.radiation(hub, room.radiant, box.inside_emissivity * area);
  if (pack != nullptr) {
    Link touch = build.conductance(hub, pack->hub, area * pack->coefficient);
    touch.needs = pack->item;
    build.add(touch);
    air.unless = glow.unless = pack->item;
  }
  if (wet != nullptr) join_bath(build, room.bath, room.air, area, *wet, air, glow);
  add_bare(build, room.air, area, standing, air, glow);
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
                      double area, double length, Facing facing, const StandingShares& standing) {
  if (area <= 0) return;
  Link link =
      build.convection(hub, -1, area, length, facing, room.the_case->box.inside_coefficient);
  link.needs = item;
  Link glow = build.radiation(hub, room.radiant, emissivity * area);
  glow.needs = item;
  add_bare(build, room.air, area, standing, link, glow);
}

}  // namespace thawline::mesh
