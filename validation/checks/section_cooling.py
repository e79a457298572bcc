"""20. Cylinders and bars cooled from all sides: products of one-dimensional solutions."""

import numpy as np
from scipy.special import j0, j1

from .grids import Field, border, lines, section
from .plane_cylinder_sphere import roots, series
from .support import ZERO, Line, Outcome, Row, material

NAME = "Section: short cylinder and bar cooled from all sides"
SOURCE = "Incropera & DeWitt 5.8, product solutions (section number from memory); exact series of 60 terms"
INPUTS = ("cylinder like a can, radius 33 mm, height 115 mm, k 0.6, rho 1000, c 4200, 12 W/m2/K all round, "
          "from 25 into 5 degC; bar of 100 mm by 60 mm, k 0.5, rho 1000, c 2000, 10 W/m2/K, from 20 into 0 "
          "degC; 4 to 32 cells a half side; each run solved so finely in time that only the grid errs")
BAR = "temperatures and means 0.01 K on 32 cells a half side, orders at least 1.9"
WHY = "A tenth of what a good logger resolves; second order is what the scheme promises."
QUICK = True
LINES = [Line("short cylinder: temperatures and mean", "^cylinder, [^o]"),
         Line("bar: temperatures and mean", "^bar, [^o]"),
         Line("order in the cell size", "order")]

CELLS = (4, 8, 16, 32)
TIMES = [600.0, 3600.0, 14400.0]
ORDER_AT = 3600.0
#         name, geometry in x, half sides (m), k, rho, c, W/m2/K, start and air (degC)
BODIES = [("cylinder", "cylinder", (0.033, 0.0575), 0.6, 1000, 4200, 12, 25, 5),
          ("bar", "plane", (0.05, 0.03), 0.5, 1000, 2000, 10, 20, 0)]


def shares(geometry, bi, fo):
    """Centre, surface and mean of what is left of the first difference, in one direction."""
    centre = 0.0
    for z in roots(geometry, bi):
        c = (4 * np.sin(z) / (2 * z + np.sin(2 * z)) if geometry == "plane"
             else 2 / z * j1(z) / (j0(z)**2 + j1(z)**2))
        centre += c * np.exp(-z * z * fo)
    surface, lost = series(geometry, bi, fo)
    return centre, surface, 1 - lost


def exact(body, time):
    """{place: degC}."""
    _, geometry, halves, k, rho, c, film, start, air = body
    x, z = (shares(g, film * s / k, k / rho / c * time / s**2) for g, s in zip((geometry, "plane"), halves))
    products = {"middle": x[0] * z[0], "side": x[1] * z[0], "end": x[0] * z[1], "mean": x[2] * z[2]}
    return {place: air + (start - air) * p for place, p in products.items()}


def job_of(body, n):
    _, geometry, (x, z), k, rho, c, film, start, air = body
    return section(lines(0, (x, n)), lines(0, (z, n)), [material(k, rho, c)],
                   {"high x": border("air", film), "high z": border("air", film)}, start=ZERO + start,
                   air=ZERO + air, round=geometry == "cylinder", times=TIMES, accuracy=5e-4)


def on_symmetry(values):
    """Value at a plane of symmetry, from the two cells next to it: a parabola."""
    return values[0] + (values[0] - values[1]) / 8


def ours(job, answer, shot):
    """{place: degC}."""
    cells = Field(job, np.array(shot["temperature"]) - ZERO).values
    faces = {b: [t - ZERO for s, t in zip(answer["surfaces"], shot["surface"]) if s["border"] == b]
             for b in ("high x", "high z")}
    return {"middle": on_symmetry([on_symmetry(row) for row in cells[:2]]), "side": on_symmetry(faces["high x"]),
            "end": on_symmetry(faces["high z"]),
            "mean": float(np.average(cells.ravel(), weights=answer["volume"]))}


PLACES = {"middle": "middle", "side": "middle of the side", "end": "middle of the end", "mean": "mean"}


def run(tools):
    jobs = [job_of(body, n) for body in BODIES for n in CELLS]
    answers = tools.sections(jobs)
    rows, errors = [], {}
    for (body, n), job, answer in zip([(b, n) for b in BODIES for n in CELLS], jobs, answers):
        for time, shot in zip(TIMES, answer["shots"]):
            wanted, got = exact(body, time), ours(job, answer, shot)
            errors[body[0], n, time] = {p: got[p] - wanted[p] for p in PLACES}
            if n == CELLS[-1]:
                rows += [Row(f"{body[0]}, {name}, {time / 60:g} min", wanted[p], got[p], "absolute", 0.01, "degC")
                         for p, name in PLACES.items()]
    for body in BODIES:
        for a, b in zip(CELLS, CELLS[1:]):
            ratio = errors[body[0], a, ORDER_AT]["mean"] / errors[body[0], b, ORDER_AT]["mean"]
            rows.append(Row(f"{body[0]}, order of the mean from {a} to {b} cells", (1.9, 3.0),
                            float(np.log2(abs(ratio))), "range"))

    def draw(ax):
        for name, mark in (("cylinder", "o"), ("bar", "s")):
            for place, style in (("middle", "-"), ("mean", "--")):
                ax.loglog(CELLS, [abs(errors[name, n, ORDER_AT][place]) for n in CELLS], mark + style, ms=4, lw=1,
                          label=f"{name}, {PLACES[place]}")
        ax.loglog(CELLS, [1.0 / n**2 for n in CELLS], "k:", lw=0.8, label="second order")
        ax.axhline(0.01, color="0.6", lw=0.8)
        ax.set_xticks(CELLS, [str(n) for n in CELLS])
        ax.minorticks_off()
        ax.set(xlabel="cells a half side", ylabel=f"error after {ORDER_AT / 60:g} min / K",
               title="Error against the number of cells; grey: the bar on 32 cells")
        ax.legend(fontsize=8)
    return Outcome(rows, draw)
