"""19. Corners of walls: shape factors by conformal maps, and how the error falls with the cells."""

import numpy as np
from scipy.integrate import quad
from scipy.optimize import brentq
from scipy.special import ellipk

from .grids import border, lines, section
from .support import ZERO, Line, Outcome, Row, material

NAME = "Section: shape factors of corners, and the order in the cell size"
SOURCE = "Schwarz-Christoffel map of an eighth of a square ring, computed here"
INPUTS = ("a quarter of a square ring between a square of side 1 and one of side 2 or 1.5, k 1, faces held; "
          "even cells of 1/16 to 1/128 of the inner side, graded cells from 0.1 mm of a side of 1 m at the "
          "corner growing by 1.1; a plate with films on three sides, 8 to 64 cells a side")
BAR = "shape factor and edge term 0.1 %; order 4/3 at the corner within 0.05, at least 1.9 without one"
WHY = "The bars of the design for sections."
QUICK = True
DESIGN = "The bar of the design, on a graded grid."
LINES = [Line("square ring 2:1, graded cells", "^ring", why=DESIGN),
         Line("edge of two equal walls, graded cells", "^edge", "1 - 2 ln 2/pi, by conformal map", DESIGN),
         Line("order at a corner that juts into the wall, even cells", "^corner, order",
              "the field there goes with r^(2/3), so that even cells err with h^(4/3)",
              "The next term of the error still shows on grids this coarse."),
         Line("plate with films on three sides: heat", "^plate, heat", "separation of variables, 200 terms",
              "A tenth of a percent on 64 cells a side."),
         Line("order of a smooth section", "^plate, order", "the scheme is of second order",
              "The bar of the design for smooth problems.")]
NOTE = ("Even cells err by h^(4/3) at such a corner however smooth all else is; the grids of cases are graded "
        "there. The edge term is what is left of a quarter when the plane walls are taken off, so that its "
        "error is eight times that of the whole.")

EDGE = 1 - 2 * np.log(2) / np.pi
EVEN = (8, 16, 32, 64)
GRADED = ((1.6e-3, 1.46, 0.1), (4e-4, 1.21, 0.05), (1e-4, 1.1, 0.025))  # first, growth, widest
FILMS = (2.0, 3.0, 1.0)  # W/m2/K: x = 1 and z = 1 to the cold, z = 0 to the warm


def exact_ring(ratio):
    """Heat per degree and depth through a square ring of k 1. The corners of an eighth of it lie at 0, p,
    1 and infinity of the upper half plane; inner and outer side become two stretches of its edge, between
    which it conducts by K(p)/K(1 - p)."""
    def sides(p):
        inner = quad(lambda w: (1 - w)**-0.75, 0, p, weight="alg", wvar=(-0.5, -0.25))[0]
        outer = quad(lambda s: (1 - p * s)**-0.25, 0, 1, weight="alg", wvar=(-0.5, -0.75))[0]
        return outer / inner
    p = brentq(lambda p: sides(p) - ratio, 1e-3, 1 - 1e-9, xtol=1e-15)
    return 8 * ellipk(p) / ellipk(1 - p)


def exact_plate():
    """Heat (W per m depth and K) into a unit square of k 1, its side x = 0 a plane of symmetry."""
    side, top, bottom = FILMS
    heat = 1.0
    for n in range(200):
        v = brentq(lambda v: v * np.sin(v) - side * np.cos(v), n * np.pi + 1e-9, (n + 0.5) * np.pi)
        share = 4 * np.sin(v) / (2 * v + np.sin(2 * v))
        decay = np.exp(-v)
        # Z = a exp(-v z) + b exp(v (z - 1)) between the films
        a, b = np.linalg.solve([[bottom + v, (bottom - v) * decay], [(top - v) * decay, top + v]],
                               [bottom, 0.0])
        heat -= share * np.sin(v) / v * (a + b * decay)
    return bottom * heat


def ring(side):
    """A quarter of a square ring by its lines, which are the same in x and z."""
    return section(side, side, [material(1, 1000, 1000)],
                   {"hole": border("ground"), "high x": border("air"), "high z": border("air")},
                   regions=[{"material": -1, "x": [0, 0.5], "z": [0, 0.5]}], air=ZERO, ground=ZERO + 1,
                   steady=1e-10)


def even_ring(outer, n):
    return ring(lines(0, (0.5, n), (outer / 2, round(n * (outer - 1)))))


def graded_ring(outer, first, growth, widest):
    return ring(lines(0, (0.5, widest, first, growth, widest), (outer / 2, first, widest, growth, widest)))


def plate(n):
    side, top, bottom = FILMS
    even = lines(0, (1, n))
    return section(even, even, [material(1, 1000, 1000)],
                   {"high x": border("air", side), "high z": border("air", top),
                    "low z": border("ground", bottom)}, air=ZERO, ground=ZERO + 1, steady=1e-10)


def run(tools):
    jobs = ([even_ring(2, n) for n in EVEN] + [graded_ring(2, *g) for g in GRADED]
            + [graded_ring(1.5, *GRADED[-1])] + [plate(n) for n in EVEN])
    answers = tools.sections([{**job, "brief": True} for job in jobs])
    flows, cells = [a["power"][0] for a in answers], [a["cells"] for a in answers]
    exact, n = exact_ring(2), len(EVEN)
    even = [4 * f - exact for f in flows[:n]]
    graded = [4 * f - exact for f in flows[n:n + 3]]
    rows = [Row(f"ring 2:1, {cells[n + 2]} graded cells a quarter", exact, 4 * flows[n + 2], "relative", 1e-3)]
    for first, error, count in zip(GRADED[:-1], graded, cells[n:]):
        rows.append(Row(f"ring 2:1, {count} graded cells, {1e3 * first[0]:g} mm at the corner", exact,
                        error + exact, "shown"))
    thin = 4 * flows[n + 3]
    rows.append(Row(f"edge of two equal walls, {cells[n + 3]} graded cells", EDGE, (thin - 16) / 4, "relative", 1e-3))
    rows.append(Row("edge of the ring 1.5:1, its own map", (exact_ring(1.5) - 16) / 4, (thin - 16) / 4, "shown"))
    for i in range(1, n):
        rows.append(Row(f"corner, order from {EVEN[i - 1]} to {EVEN[i]} even cells", 4 / 3,
                        float(np.log2(even[i - 1] / even[i])), "absolute", 0.05))
    smooth = exact_plate()
    error = [f - smooth for f in flows[n + 4:]]
    rows.append(Row(f"plate, heat, {cells[-1]} cells", smooth, flows[-1], "relative", 1e-3, "W/m"))
    for i in range(1, n):
        rows.append(Row(f"plate, order from {EVEN[i - 1]} to {EVEN[i]} cells a side", (1.9, 3.0),
                        float(np.log2(error[i - 1] / error[i])), "range"))

    def draw(ax):
        for name, errors, counts, mark, size in (
                ("corner, even cells", even, cells, "o-", exact), ("corner, graded cells", graded, cells[n:], "s-", exact),
                ("no such corner, even cells", error, cells[n + 4:], "^-", smooth)):
            area = 1.0 if mark == "^-" else 0.75
            ax.loglog([np.sqrt(area / c) for c in counts[:len(errors)]], [100 * abs(e / size) for e in errors], mark,
                      ms=4, lw=1, label=name)
        h = np.geomspace(0.01, 0.07, 2)
        for order, words, start in ((4 / 3, "h^(4/3)", 4.0), (2, "h²", 0.012)):
            ax.loglog(h, start * (h / h[-1])**order, "k:", lw=0.8)
            ax.annotate(words, (h[-1], start), xytext=(4, 0), textcoords="offset points", va="center", fontsize=8)
        ax.axhline(0.1, color="0.6", lw=0.8)
        ax.annotate("bar", (ax.get_xlim()[0], 0.1), xytext=(4, 3), textcoords="offset points", fontsize=8)
        ax.set(xlabel="mean cell size h / side of the inner square or the plate",
               ylabel="error of the heat / %", title="Error against cell size")
        ax.legend(fontsize=8)
    return Outcome(rows, draw)
