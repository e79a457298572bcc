"""27. Boxes in three dimensions, apart from the library, and as developed sections."""

import json
import subprocess

import numpy as np

from .support import Known, Line, Outcome, Row

NAME = "Section: packs and drinks against three dimensions"
SOURCE = ("finite volumes in three dimensions written for this check, sharing no code with the library "
          "(validation/three_dimensions.cpp)")
INPUTS = ("ten boxes: 40 x 30 x 30 cm of 30 mm foam or 50 x 28 x 24 cm of 45 mm, one with a liner of 0.8 mm steel, "
          "one with skins of 3 mm plastic; drinks as one block of one temperature that stands on what is below (29 W/m2/K over "
          "its footprint), constant films; packs of invented gel (melts at 0 degC) and brine (-6 degC) on the floor, under "
          "the lid and round the sides, whole or part-covering, one or two. Cells from 3 mm at faces to 12 mm, 2.5 mm "
          "across packs, whose own change from cells 1.4 times as large is shown; sections at an accuracy of 0.02 K and in the default detail")
BAR = ("drinks 0.15 K at any quarter of an hour on the plateau; passing a limit 5 %, packs melted by half, nine tenths, "
       "all but a hundredth 3 %, UA 0.5 %, heat 1 %")
WHY = ("A section has no corners of packs, and the three-dimensional grid no fronts inside its cells: both "
       "are worth some hundredths of a kelvin. Where the drinks warm by 0.1 K an hour, 0.1 K is an hour.")
QUICK = False
NOTE = ("The breadth of a section at a distance x from the middle line is 2 (l - w) + 8 x: what lies at one "
        "distance from the nearest wall is one cell. The plateau is from the fourth hour to where the first pack is "
        "half melted; what the drinks differ by at other times is shown. UA: heat that came in over the last third of "
        "the run, over the mean difference of the air outside and inside.")
LINES = [Line("drinks on the plateau, largest difference", "plateau", why="Half of what a thermocouple is worth."),
         Line("drinks pass a limit", "pass", why="The curve is flat there."),
         Line("packs melted by half, nine tenths, all but a hundredth", "melted", why="Stair steps of the last cell."),
         Line("UA of the whole box", "UA", why="Edges, corners and the films inside."),
         Line("heat that came in", "heat", why="Edges and corners.")]

KNOWN = {}

LOAD, FILM = 3.3e-3, 29  # m3, W/m2/K
FOOT = LOAD / 0.05
SURFACE = 2 * FOOT
LIMITS = (8, 10, 12)
FOAM, STEEL, PLASTIC = ("foam", 0.025, 49000), ("steel", 15.0, 3.9e6), ("plastic", 0.45, 1.8e6)
GEL = {"k_solid": 2.0, "k_liquid": 0.6, "c_solid": 2e6, "c_liquid": 4e6, "latent": 3e8, "melts_at": 0,
       "start": -10, "contact": FILM}
BRINE = GEL | {"latent": 2.4e8, "melts_at": -6, "start": -16, "c_liquid": 3.6e6}


class Box:
    """One box; packs are added from the middle outward, as a section lays them."""

    def __init__(self, inside=(0.4, 0.3, 0.3), wall=((*FOAM, 0.03),), hours=48):
        self.inside, self.wall, self.hours, self.packs = inside, wall, hours, []

    def level(self, place, thickness, gap, within=None, of=GEL):
        """Up to `gap` from the walls, around the pack that ends at `within` from them."""
        l, w, h = self.inside
        x, y = l / 2 - gap, w / 2 - gap
        z = [0, thickness] if place == "floor" else [h - thickness, h]
        if within is None:
            parts = [{"x": [0, x], "y": [0, y]}]
            area = 4 * x * y
        else:
            x0, y0 = l / 2 - within, w / 2 - within
            parts = [{"x": [x0, x], "y": [0, y]}, {"x": [0, x0], "y": [y0, y]}]
            area = 4 * (x * y - x0 * y0)
        return self._add(place, thickness, area * thickness, [p | {"z": z} for p in parts], of, area)

    def band(self, thickness, low, high, of=GEL):
        l, w, _ = self.inside
        x, y, z = l / 2 - thickness, w / 2 - thickness, [low, high]
        parts = [{"x": [x, l / 2], "y": [0, w / 2], "z": z}, {"x": [0, x], "y": [y, w / 2], "z": z}]
        return self._add("sides", thickness, (l * w - 4 * x * y) * (high - low), parts, of, 0)

    def _add(self, place, thickness, volume, parts, of, area):
        body = len(self.packs) + 1
        self.packs.append({"place": place, "thickness": thickness, "volume": volume, "area": area, "of": of,
                           "regions": [of | part | {"body": body} for part in parts]})
        return self

    def stands(self):
        """What the block stands on: the packs on the floor by their areas, else the base."""
        floor = {i: pack["area"] for i, pack in enumerate(self.packs, 1) if pack["place"] == "floor"}
        whole = sum(floor.values())
        if whole == 0:
            return [{"body": 0, "area": FOOT, "contact": FILM}]
        assert whole > FOOT
        return [{"body": i, "area": FOOT * area / whole, "contact": FILM} for i, area in floor.items()]


BOXES = {
    "floor, whole": Box().level("floor", 0.03, 0),
    "floor, 4 cm free": Box().level("floor", 0.04, 0.04),
    "lid, whole": Box().level("lid", 0.03, 0),
    "lid, 2 cm free": Box().level("lid", 0.03, 0.02),
    "round the sides": Box().band(0.02, 0, 0.2),
    "round the sides up to the lid": Box((0.5, 0.28, 0.24), ((*FOAM, 0.045),), 60).band(0.015, 0, 0.24),
    "floor and lid": Box().level("floor", 0.03, 0.02).level("lid", 0.02, 0.05, of=BRINE),
    "two kinds on the floor": Box((0.5, 0.28, 0.24), ((*FOAM, 0.045),), 60).level("floor", 0.03, 0.06, of=BRINE)
                                                                         .level("floor", 0.03, 0, within=0.06),
    "steel liner, floor, 4 cm free": Box(wall=((*STEEL, 0.0008), (*FOAM, 0.03))).level("floor", 0.04, 0.04),
    "skins, lid and sides": Box(wall=((*PLASTIC, 0.003), (*FOAM, 0.03), (*PLASTIC, 0.003)))
                            .level("lid", 0.02, 0.04).band(0.015, 0, 0.15),
}


def in_three_dimensions(tools, box, size):
    """size: a factor on all cells"""
    grid = {"near": 3e-3 * size, "largest": 12e-3 * size, "across_packs": 2.5e-3 * size, "least_step": 0.5 * size**2}
    job = {"inside": box.inside, "wall": [{"k": k, "c": c, "thickness": t} for _, k, c, t in box.wall],
           "films": {"inside": 5, "outside": 10, "base": 6, "emissivity": 0.9},
           "packs": [region for pack in box.packs for region in pack["regions"]],
           "load": {"area": SURFACE - FOOT, "capacity": LOAD * 4.18e6, "start": 5, "stands": box.stands()},
           "leak": 0, "ambient": 25, "start": 5, "hours": box.hours, "grid": grid, "limits": LIMITS}
    done = subprocess.run([tools.build / "three_dimensions"], input=json.dumps(job), capture_output=True,
                          text=True, timeout=1800, check=True)
    return json.loads(done.stdout)


def quantity(value, unit):
    return {"value": f"{value} {unit}", "valid": ["-40 degC", "60 degC"], "source": "invented"}


def solid(title, density, capacity, k):
    return {"title": title, "emissivity": {"value": 0.9, "source": "invented"},
            "density": {"value": f"{density} kg/m3", "source": "invented"},
            "heat_capacity": quantity(capacity, "J/kg/K"), "conductivity": quantity(k, "W/m/K")}


def coolant(title, of):
    made = solid(title, 1000, of["c_solid"] / 1000, of["k_solid"])
    made["heat_capacity"] = {"solid": quantity(of["c_solid"] / 1000, "J/kg/K"),
                             "liquid": quantity(of["c_liquid"] / 1000, "J/kg/K")}
    made["conductivity"] = {"solid": quantity(of["k_solid"], "W/m/K"), "liquid": quantity(of["k_liquid"], "W/m/K")}
    made["melting"] = {"law": "sharp", "point": {"value": f"{of['melts_at']} degC", "source": "invented"},
                       "latent_heat": {"value": f"{of['latent'] / 1e6} kJ/kg", "source": "invented"}}
    return made


def case(box, run):
    walls = {f"plain_{name}": solid(name, 1000, c / 1000, k) for name, k, c, _ in box.wall}
    materials = walls | {"plain_drink": solid("drink", 1000, 4180, 200)}
    packs = []
    for i, pack in enumerate(box.packs, 1):
        kind = "plain_gel" if pack["of"] is GEL else "plain_brine"
        materials[kind] = coolant(kind, pack["of"])
        packs.append({"name": f"pack {i}", "material": kind, "form": "pack", "place": pack["place"],
                      "amount": f"{1000 * pack['volume']} kg", "thickness": f"{pack['thickness']} m",
                      "start": f"{pack['of']['start']} degC"})
    l, w, h = box.inside
    return json.dumps({
        "title": "box for three dimensions", "materials": materials,
        "box": {"inside": {"length": f"{l} m", "width": f"{w} m", "height": f"{h} m"},
                "wall": [{"material": f"plain_{name}", "thickness": f"{t} m"} for name, _, _, t in box.wall],
                "inside_coefficient": "5 W/m2/K"},
        "coolant": packs,
        "payload": [{"name": "drinks", "contents": "plain_drink", "start": "5 degC",
                     "block": {"amount": f"{1000 * LOAD} kg", "thickness": "50 mm"}}],
        "surroundings": {"air": "25 degC", "outside_coefficient": "10 W/m2/K", "long_wave": "off",
                         "stands_on": {"coefficient": "6 W/m2/K"}},
        "run": {"duration": f"{box.hours} h", "output_every": "15 min"} | run})


def passing(hours, values, level_wanted):
    past = np.flatnonzero(values >= level_wanted)
    if len(past) == 0 or past[0] == 0:
        return None
    i = past[0]
    return float(np.interp(level_wanted, values[i - 1:i + 1], hours[i - 1:i + 1]))


def conductance(hours, heat, air):
    """W/K over the last third of the run."""
    late = hours >= hours[-1] * 2 / 3
    drive = np.trapz(25 - air[late], hours[late]) * 3600
    return float((heat[late][-1] - heat[late][0]) / drive)


def compared(name, box, fine, history):
    """Rows of one section against three dimensions, and its curve of the drinks."""
    hours = history["time"] / 3600
    probes = history["probes/names"]
    drinks = history["probes/temperature"][:, probes.index("drinks")] - 273.15
    air = history["probes/temperature"][:, probes.index("air")] - 273.15
    exact = np.array(fine["load"])[:len(drinks)]
    apart = np.abs(drinks[:len(exact)] - exact)
    first = min(m["50"] or box.hours for m in fine["melted"].values())
    plateau = (hours[:len(exact)] >= 4) & (hours[:len(exact)] <= first)
    rows = [Row(f"{name}: drinks on the plateau", 0, float(apart[plateau].max()), "absolute", 0.15, "K"),
            Row(f"{name}: drinks at any time", 0, float(apart.max()), "shown", 0, "K")]
    for limit in LIMITS:
        reference, ours = fine["passed"].get(str(limit)), passing(hours, drinks, limit)
        if reference is not None and ours is not None and reference > 1:
            rows.append(Row(f"{name}: drinks pass {limit} degC", reference, ours, "relative", 0.05, "h"))
    for i in range(len(box.packs)):
        fraction = history["coolant/liquid_fraction"][:, i]
        for share in (50, 90, 99):
            reference, ours = fine["melted"][str(i)][str(share)], passing(hours, fraction, share / 100)
            if reference is not None and ours is not None:
                rows.append(Row(f"{name}: pack {i + 1} melted to {share} %", reference, ours, "relative", 0.03, "h"))
    heat = history["budget/heat"].sum(axis=1)
    theirs = (np.arange(len(fine["load"])) / 4, np.array(fine["heat"]), np.array(fine["air"]))
    rows.append(Row(f"{name}: UA", conductance(*theirs), conductance(hours, heat, air), "relative", 0.005, "W/K"))
    rows.append(Row(f"{name}: heat that came in", fine["heat_in"] / 1e3, float(heat[-1]) / 1e3, "relative", 0.01, "kJ"))
    return rows, (hours, drinks, exact)


def run(tools):
    rows, seen = [], []
    for name, box in BOXES.items():
        rough, fine = (in_three_dimensions(tools, box, size) for size in (1.4, 1))
        own = float(np.abs(np.array(rough["load"]) - np.array(fine["load"])).max())
        rows.append(Row(f"{name}: own change of three dimensions", 0, own, "shown", 0, "K"))
        for detail, asked in (("", {"detail": "2d", "accuracy": "0.02 K"}), (", default detail", {})):
            more, curve = compared(name + detail, box, fine, tools.run_case(case(box, asked)))
            rows += more
            if not detail:
                seen.append((name, *curve))

    def draw(ax):
        for name, hours, drinks, exact in seen:
            line, = ax.plot(hours, drinks, lw=1, label=name)
            ax.plot(hours[:len(exact):8], exact[::8], "o", ms=3, color=line.get_color())
        ax.set(xlabel="time / h", ylabel="drinks / °C", title="Lines: developed section; dots: three dimensions")
        ax.legend(fontsize="small")
    return Outcome(rows, draw)
