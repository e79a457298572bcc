"""27. Boxes in three dimensions, apart from the library, and as developed sections."""

import copy
import json
import math
import subprocess

import numpy as np

from .support import Known, Line, Outcome, Row

NAME = "Section: packs and drinks against three dimensions"
SOURCE = ("finite volumes in three dimensions written for this check, sharing no code with the library "
          "(validation/three_dimensions.cpp)")
INPUTS = ("40 x 30 x 30 cm of 30 mm foam, ten cans as one body, constant films; a pack of invented gel (melts "
          "at 0 degC) on the floor over the whole or 4 cm from the walls, under the lid, round the sides, and two "
          "packs; cells of 7.5 mm, whose own change from 10 mm is shown")
BAR = "temperature of the drinks 0.15 K at any quarter of an hour; passing a limit, melted shares and heat in %"
WHY = ("A section has no corners of packs, and the three-dimensional grid no fronts inside its cells: both "
       "are worth some hundredths of a kelvin. Where the drinks warm by 0.1 K an hour, 0.1 K is an hour.")
QUICK = False
NOTE = ("The breadth of a section at a distance x from the middle line is 2 (l - w) + 8 x: what lies at one "
        "distance from the nearest wall is one cell.")
LINES = [Line("drinks, largest difference", "largest", why="Half of what a thermocouple is worth."),
         Line("drinks pass a limit", "pass", why="The curve is flat there."),
         Line("packs melted by half, nine tenths, all but a hundredth", "melted", why="Stair steps of the last cell."),
         Line("heat that came in", "heat", why="Edges and corners.")]

ROUGH = ("at some instants the two grids in three dimensions differ by {} K themselves; how much of the rest is the "
         "section's was not told apart")
KNOWN = {"floor, whole: drinks, largest difference": Known(0.17, ROUGH.format(0.16)),
         "round the sides: drinks, largest difference": Known(0.23, ROUGH.format(0.14))}

L, W, H, WALL, CANS = 0.4, 0.3, 0.3, 0.03, 10
AREA = CANS * math.pi * 0.066 * (0.115 + 0.033)
LIMITS = (8, 10, 12)
GEL = {"k_solid": 2.0, "k_liquid": 0.6, "c_solid": 2e6, "c_liquid": 4e6, "latent": 3e8, "melts_at": 0,
       "start": -10, "contact": 29}


def level(body, place, thickness, gap):
    z = 0 if place == "floor" else H - thickness
    region = {"x": [0, L / 2 - gap], "y": [0, W / 2 - gap], "z": [z, z + thickness]}
    return {"place": place, "thickness": thickness, "volume": (L - 2 * gap) * (W - 2 * gap) * thickness,
            "regions": [GEL | region | {"body": body}]}


def band(body, thickness, height):
    x, y, z = L / 2 - thickness, W / 2 - thickness, [0, height]
    regions = [{"x": [x, L / 2], "y": [0, W / 2], "z": z}, {"x": [0, x], "y": [y, W / 2], "z": z}]
    return {"place": "sides", "thickness": thickness, "volume": (L * W - 4 * x * y) * height,
            "regions": [GEL | region | {"body": body} for region in regions]}


BOXES = {
    "floor, whole": [level(1, "floor", 0.03, 0)],
    "floor, 4 cm free": [level(1, "floor", 0.04, 0.04)],
    "lid, 2 cm free": [level(1, "lid", 0.03, 0.02)],
    "round the sides": [band(1, 0.02, 0.2)],
    "floor and lid": [level(1, "floor", 0.03, 0.02), level(2, "lid", 0.02, 0.05)],
}


def in_three_dimensions(tools, packs, cell):
    job = {"inside": [L, W, H], "wall": [{"k": 0.025, "c": 49000, "thickness": WALL}],
           "films": {"inside": 5, "outside": 10, "base": 6, "emissivity": 0.9},
           "packs": [region for pack in packs for region in pack["regions"]],
           "load": {"area": AREA, "capacity": CANS * 0.33e-3 * 4.18e6, "start": 5},
           "leak": 0, "ambient": 25, "start": 5, "hours": 48, "cell": cell, "limits": LIMITS}
    done = subprocess.run([tools.build / "three_dimensions"], input=json.dumps(job), capture_output=True,
                          text=True, timeout=900, check=True)
    return json.loads(done.stdout)


def quantity(value, unit):
    return {"value": f"{value} {unit}", "valid": ["-40 degC", "60 degC"], "source": "invented"}


def case(packs):
    plain = {"emissivity": {"value": 0.9, "source": "invented"}}
    foam = plain | {"title": "foam", "density": {"value": "35 kg/m3", "source": "invented"},
                    "heat_capacity": quantity(1400, "J/kg/K"), "conductivity": quantity(0.025, "W/m/K")}
    drink = copy.deepcopy(foam) | {"title": "drink", "density": {"value": "1000 kg/m3", "source": "invented"},
                                   "heat_capacity": quantity(4180, "J/kg/K"),
                                   "conductivity": quantity(0.6, "W/m/K")}
    gel = copy.deepcopy(drink) | {
        "title": "gel", "heat_capacity": {"solid": quantity(2000, "J/kg/K"), "liquid": quantity(4000, "J/kg/K")},
        "conductivity": {"solid": quantity(2.0, "W/m/K"), "liquid": quantity(0.6, "W/m/K")},
        "melting": {"law": "sharp", "point": {"value": "0 degC", "source": "invented"},
                    "latent_heat": {"value": "300 kJ/kg", "source": "invented"}}}
    coolant = [{"name": f"gel {i}", "material": "plain_gel", "form": "pack", "place": pack["place"],
                "amount": f"{1000 * pack['volume']} kg", "thickness": f"{pack['thickness']} m", "start": "-10 degC"}
               for i, pack in enumerate(packs, 1)]
    return json.dumps({
        "title": "box for three dimensions",
        "materials": {"plain_foam": foam, "plain_drink": drink, "plain_gel": gel},
        "box": {"inside": {"length": f"{L} m", "width": f"{W} m", "height": f"{H} m"},
                "wall": [{"material": "plain_foam", "thickness": f"{WALL} m"}],
                "inside_coefficient": "5 W/m2/K"},
        "coolant": coolant,
        "payload": [{"name": "drinks", "contents": "plain_drink", "start": "5 degC",
                     "cans": {"count": CANS, "volume": "0.33 L", "diameter": "66 mm", "height": "115 mm"}}],
        "surroundings": {"air": "25 degC", "outside_coefficient": "10 W/m2/K", "long_wave": "off",
                         "stands_on": {"coefficient": "6 W/m2/K"}},
        "run": {"duration": "48 h", "detail": "2d", "accuracy": "0.02 K", "output_every": "15 min"}})


def passing(hours, values, level_wanted):
    past = np.flatnonzero(values >= level_wanted)
    if len(past) == 0 or past[0] == 0:
        return None
    i = past[0]
    return float(np.interp(level_wanted, values[i - 1:i + 1], hours[i - 1:i + 1]))


def run(tools):
    rows, seen = [], []
    for name, packs in BOXES.items():
        rough, fine = (in_three_dimensions(tools, packs, cell) for cell in (10e-3, 7.5e-3))
        history = tools.run_case(case(packs))
        hours = history["time"] / 3600
        drinks = history["probes/temperature"][:, history["probes/names"].index("drinks")] - 273.15
        exact = np.array(fine["load"][:len(drinks)])
        gap = float(np.abs(drinks[:len(exact)] - exact).max())
        own = float(np.abs(np.array(rough["load"]) - np.array(fine["load"])).max())
        rows.append(Row(f"{name}: own change of three dimensions", 0, own, "shown", 0, "K"))
        rows.append(Row(f"{name}: drinks, largest difference", 0, gap, "absolute", 0.15, "K"))
        for limit in LIMITS:
            reference = fine["passed"].get(str(limit))
            ours = passing(hours, drinks, limit)
            if reference is not None and ours is not None and reference > 1:
                rows.append(Row(f"{name}: drinks pass {limit} degC", reference, ours, "relative", 0.05, "h"))
        for i in range(len(packs)):
            fraction = history["coolant/liquid_fraction"][:, i]
            for share in (50, 90, 99):
                reference = fine["melted"][str(i)][str(share)]
                ours = passing(hours, fraction, share / 100)
                if reference is not None and ours is not None:
                    rows.append(Row(f"{name}: pack {i + 1} melted to {share} %", reference, ours, "relative", 0.03, "h"))
        rows.append(Row(f"{name}: heat that came in", fine["heat_in"] / 1e3,
                        float(history["budget/heat"][-1].sum()) / 1e3, "relative", 0.01, "kJ"))
        seen.append((name, hours, drinks, exact))

    def draw(ax):
        for name, hours, drinks, exact in seen:
            line, = ax.plot(hours, drinks, lw=1, label=name)
            ax.plot(hours[:len(exact):8], exact[::8], "o", ms=3, color=line.get_color())
        ax.set(xlabel="time / h", ylabel="drinks / °C", title="Lines: developed section; dots: three dimensions")
        ax.legend()
    return Outcome(rows, draw)
