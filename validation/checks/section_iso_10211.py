"""18. The two plane test cases of the standard for thermal bridges."""

import numpy as np

from .grids import Field, border, lines, section
from .support import ZERO, Line, Outcome, Row, material

NAME = "Section: the two plane test cases of ISO 10211"
SOURCE = "ISO 10211:2017 Annex A, cases 1 and 2 (from memory)"
INPUTS = ("case 1: half a square column 2 by 2, 20 degC on top, 0 degC on the other sides, 28 temperatures; "
          "7200 even cells. Case 2: a metal profile (k 230) in insulation (k 0.029) behind a board (k 1.15) "
          "and a strip of wood (k 0.12), 500 by 47.5 mm, 0 degC with 0.06 m2K/W outside, 20 degC with 0.11 "
          "inside; cells from 0.25 mm at the profile")
BAR = "temperatures 0.1 K, heat 0.1 W/m; case 1 against its series 0.01 K"
WHY = ("The standard asks it of every program; the series is exact, a tenth of the standard's bar is left to "
       "the grid.")
QUICK = True
STANDARD = "What the standard asks of a program."
LINES = [Line("case 1, half a square column: 28 temperatures", "^column, [^w]",
              "ISO 10211:2017 Annex A.1 (from memory); its list equals the series rounded to 0.1 K", STANDARD),
         Line("case 1 against the exact series", "^column, worst", "series for a rectangle with one warm side",
              "A tenth of what the standard asks."),
         Line("case 2, metal profile: nine temperatures", "^profile, [A-I]",
              "ISO 10211:2017 Annex A.2 (inputs and values from memory)", STANDARD),
         Line("case 2, metal profile: heat", "^profile, heat",
              "ISO 10211:2017 Annex A.2 (inputs and values from memory)", STANDARD)]
NOTE = ("Case 1's corners on top are at 0 and at 20 degC at once; the temperatures beside them stay bounded. "
        "In case 2 the temperature where materials meet is the mean of the cells about it, weighted by their "
        "conductance.")

POINTS = {"A": (0, 0, 7.1), "B": (500, 0, 0.8), "C": (0, 6, 7.9), "D": (15, 6, 6.3), "E": (500, 6, 0.8),
          "F": (0, 11, 16.4), "G": (15, 11, 16.3), "H": (0, 47.5, 16.8), "I": (500, 47.5, 18.3)}


def series(x, depth, terms=200):
    """degC in the column at x from its side and depth below its top, m."""
    m = np.arange(1, 2 * terms, 2)
    ratio = np.exp(-m * np.pi * depth / 2) * (1 - np.exp(-m * np.pi * (2 - depth))) / (1 - np.exp(-2 * m * np.pi))
    return float(np.sum(80 / m / np.pi * np.sin(m * np.pi * x / 2) * ratio))


def column():
    """z upward, x from the cold side to the middle."""
    return section(lines(0, (1, 60)), lines(0, (2, 120)), [material(1, 1000, 1000)],
                   {"low x": border("air"), "low z": border("air"), "high z": border("ground")},
                   air=ZERO, ground=ZERO + 20, steady=1e-9)


def profile():
    """z upward from the warm face; lengths in mm turned into m."""
    mm = 1e-3
    x = lines(0, (1.5 * mm, 6), (15 * mm, 0.25 * mm, 0.25 * mm, 1.15, 1 * mm),
              (500 * mm, 0.25 * mm, 15 * mm, 1.15, 15 * mm))
    z = lines(0, (1.5 * mm, 6), (35 * mm, 0.25 * mm, 0.25 * mm, 1.15, 1 * mm), (36.5 * mm, 6),
              (41.5 * mm, 0.25 * mm, 0.25 * mm, 1.15, 1 * mm), (47.5 * mm, 0.25 * mm, 0.25 * mm, 1.15, 1 * mm))
    solids = [material(k, 1000, 1000) for k in (0.029, 1.15, 0.12, 230.0)]

    def part(index, right, top, bottom):
        """From `top` down to `bottom` below the cold face, mm."""
        return {"material": index, "x": [0, right * mm], "z": [(47.5 - bottom) * mm, (47.5 - top) * mm]}
    regions = [part(1, 500, 0, 6), part(2, 15, 6, 11), part(3, 15, 11, 12.5), part(3, 1.5, 12.5, 46),
               part(3, 500, 46, 47.5)]
    return section(x, z, solids, {"low z": border("ground", 1 / 0.11), "high z": border("air", 1 / 0.06)},
                   regions=regions, air=ZERO, ground=ZERO + 20, steady=1e-7)


def on_face(answer, border, x):
    """degC of a face at x, m: the nearest two surfaces, drawn out straight."""
    there = [(s["x"], t) for s, t in zip(answer["surfaces"], answer["surface"]) if s["border"] == border]
    (x0, t0), (x1, t1) = sorted(sorted(there, key=lambda p: abs(p[0] - x))[:2])
    return t0 + (t1 - t0) * (x - x0) / (x1 - x0) - ZERO


def run(tools):
    jobs = [column(), profile()]
    first, second = tools.sections(jobs)
    field = Field(jobs[0], np.array(first["temperature"]) - ZERO)
    rows, worst = [], (0.0, 0.0)
    for down in np.arange(1, 8) / 4:
        for x in np.arange(1, 5) / 4:
            exact, ours = series(x, down), field.at_line(x, 2 - down)
            where = "axis" if x == 1 else f"x {x:g}"
            rows.append(Row(f"column, {where}, {down:g} below the top", exact, ours, "absolute", 0.1, "degC"))
            worst = max(worst, (exact, ours), key=lambda pair: abs(pair[1] - pair[0]))
    rows.append(Row("column, worst of the 28 against the series", *worst, "absolute", 0.01, "degC"))
    metal = Field(jobs[1], np.array(second["temperature"]) - ZERO)
    for name, (x, y, expected) in POINTS.items():
        if y in (0, 47.5):
            ours = on_face(second, "high z" if y == 0 else "low z", x * 1e-3)
        else:
            ours = metal.at_line(x * 1e-3, (47.5 - y) * 1e-3)
        rows.append(Row(f"profile, {name} ({x:g}, {y:g} mm)", expected, float(ours), "absolute", 0.1, "degC"))
    rows.append(Row("profile, heat", 9.5, second["power"][0], "absolute", 0.1, "W/m"))

    def draw(ax):
        levels = np.arange(1, 20, 1.0)
        lines_ = ax.contour(1e3 * metal.xm, 47.5 - 1e3 * metal.zm, metal.values, levels, cmap="coolwarm")
        ax.clabel(lines_, levels[1::3], fmt="%g", fontsize=7)
        for name, (x, y, expected) in POINTS.items():
            ax.plot(x, y, "ko", ms=4, clip_on=False)
            ax.annotate(f"{name} {expected}", (x, y), fontsize=8, textcoords="offset points",
                        xytext=(-30 if x == 500 else 4, -3 if y > 6 else 4))
        ax.invert_yaxis()
        ax.set_xscale("symlog", linthresh=15)
        ticks = [0, 5, 10, 15, 50, 150, 500]
        ax.set_xticks(ticks, [str(t) for t in ticks])
        ax.set(xlim=(0, 500), xlabel="from the middle of the profile / mm (logarithmic from 15 mm on)",
               ylabel="below the cold face / mm",
               title="Case 2: our isotherms each kelvin; dots and values: the standard, degC")
    return Outcome(rows, draw)
