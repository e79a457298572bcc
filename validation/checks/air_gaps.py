"""9. Closed air gaps in the walls of a case."""

import numpy as np

from .support import Line, Outcome, Row

NAME = "Closed air gaps"
SOURCE = "ISO 6946:2017 Table 8 and Annex D, from memory; every table value equals the formula rounded"
INPUTS = ("a wall of two 2 mm HDPE skins with a gap of 5 to 100 mm, emissivity 0.9, 10 degC: resistance "
          "of the wall less that of the skins; the base carries heat upward, the sides sideways, the lid "
          "downward")
BAR = "equal to the table's two decimals (0.005 m2K/W)"
WHY = "The table is printed to two decimals."
QUICK = True
LINES = [Line("gaps of 5 to 100 mm, upward, sideways, downward", "heat"),
         Line("gap between bright faces", "bright", "formula of ISO 6946:2017 Annex D (from memory)",
              "As for the table.")]

TABLE = {5: (0.11, 0.11, 0.11), 7: (0.13, 0.13, 0.13), 10: (0.15, 0.15, 0.15), 15: (0.16, 0.17, 0.17),
         25: (0.16, 0.18, 0.19), 50: (0.16, 0.18, 0.21), 100: (0.16, 0.18, 0.22)}
WAYS = ("base", "sides", "lid")
WORDS = {"base": "up", "sides": "sideways", "lid": "down"}
INSIDE = 0.5


def case(gap, emissivity=0.9):
    return f"""
title: wall with a gap
box:
  inside: {{length: {INSIDE} m, width: {INSIDE} m, height: {INSIDE} m}}
  wall:
    - {{material: hdpe, thickness: 2 mm}}
    - {{air_gap: {gap} mm, emissivity: {emissivity}}}
    - {{material: hdpe, thickness: 2 mm}}
surroundings: {{air: 10 degC}}
run: {{duration: 10 s}}
"""


def resistances(tools, gap, emissivity=0.9):
    box = tools.run_case(case(gap, emissivity))["resolved"]
    area = {"base": INSIDE**2, "sides": 4 * INSIDE**2, "lid": INSIDE**2}
    skins = sum(layer["thickness_m"] / layer["conductivity_283K_W_m_K"]
                for layer in box["box"]["sides"] if "material" in layer)
    return {w: area[w] / box["conductance_W_K"][w]["plane"] - skins for w in WAYS}


def run(tools):
    rows, seen = [], []
    for gap, table in TABLE.items():
        ours = resistances(tools, gap)
        for way, value in zip(WAYS, table):
            rows.append(Row(f"{gap} mm, heat {WORDS[way]}", value, float(ours[way]), "absolute", 0.005,
                            "m2K/W"))
        seen.append((gap, ours))
    exchange = 4 * 5.670374419e-8 * 283.15**3 / (2 / 0.05 - 1)
    rows.append(Row("20 mm sideways, both faces bright (e 0.05), formula", 1 / (1.25 + exchange),
                    float(resistances(tools, 20, 0.05)["sides"]), "absolute", 0.005, "m2K/W"))

    def draw(ax):
        for i, way in enumerate(WAYS):
            ax.plot([g for g, _ in seen], [o[way] for _, o in seen], "o-", ms=3, label="ours, heat " + WORDS[way])
            ax.plot(list(TABLE), [v[i] for v in TABLE.values()], "x", color=f"C{i}")
        ax.set(xlabel="gap / mm", ylabel="resistance / m²K/W", title="Closed air gaps; crosses: table of ISO 6946")
        ax.legend()
    return Outcome(rows, draw)
