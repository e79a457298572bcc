"""5. Melting and freezing of a half space with one and two phases in motion."""

import numpy as np
from scipy.optimize import brentq
from scipy.special import erf, erfc

from .support import C14, ICE, ZERO, Known, Line, Outcome, Row, column, even, held

NAME = "Neumann: melting and freezing of a half space"
SOURCE = "Carslaw & Jaeger, Conduction of Heat in Solids, 2nd ed., 11.2 (section number from memory)"
INPUTS = ("ice (k 2.2/0.57, c 2050/4200, rho 917, L 333.4 kJ/kg) and n-tetradecane, C14 (k 0.22/0.15, c "
          "1900/2200, rho 770, L 227 kJ/kg); 100 cells of 1 mm, twelve instants a cell up to the "
          "middle; the far end follows the exact solution")
BAR = "front 0.1 % at every instant from 5 cells on"
WHY = "The bar of the design for 100 cells."
QUICK = True
LINES = [Line("ice and water, one phase in motion", "one phase"),
         Line("ice melts, water freezes, two phases in motion", "^(ice|water)"),
         Line("coolant that melts at 5.9 degC, two phases in motion", "^C14")]

NOTE = ("The two parts of a melting cell keep sensible heat of their own, and a cell at a face that has "
        "passed the melting point begins to change at once, still warm or cold ahead of the front "
        "(EQUATIONS.md).")

START = ("The bar of the design is for two phases. In one phase all of the error comes from the straight "
         "profile taken through the new phase while it is one or two cells deep, about a sixth of the Stefan "
         "number; what those cells err stays and falls as 1/X².")
KNOWN = {f"{name}: worst front from 5 cells on": Known(size, START)
         for name, size in [("ice melts, one phase", 0.0018)]}

DEPTH = 0.1
#       name, material, wall, far (K over the melting point)
CASES = [("ice melts, one phase", ICE, 20.0, 0.0), ("water freezes, one phase", ICE, -20.0, 0.0),
         ("ice melts, two phases", ICE, 20.0, -20.0), ("water freezes, two phases", ICE, -20.0, 20.0),
         ("C14 melts, two phases", C14, 19.1, -10.9), ("C14 freezes, two phases", C14, -20.9, 14.1)]


class Neumann:
    def __init__(self, m, wall, far):
        solid, liquid = (m["k"], m["c"]), (m["k_liquid"], m["c_liquid"])
        (k_n, c_n), (k_f, c_f) = (liquid, solid) if wall > 0 else (solid, liquid)
        self.a_n, self.a_f = k_n / m["rho"] / c_n, k_f / m["rho"] / c_f
        self.wall, self.far, self.k_n = wall, far, k_n
        self.ratio = np.sqrt(self.a_n / self.a_f)
        heat = m["latent"] * np.sqrt(np.pi) / (c_n * abs(wall))

        def miss(l):
            other = 0.0
            if far:
                other = (k_f / k_n) * self.ratio * abs(far / wall) * np.exp(-(l * self.ratio)**2) \
                    / erfc(l * self.ratio)
            return np.exp(-l * l) / erf(l) - other - l * heat
        self.l = brentq(miss, 1e-4, 5)

    def front(self, t):
        return 2 * self.l * np.sqrt(self.a_n * t)

    def time(self, x):
        return (x / 2 / self.l)**2 / self.a_n

    def temperature(self, x, t):
        near = self.wall * (1 - erf(x / 2 / np.sqrt(self.a_n * t)) / erf(self.l))
        beyond = self.far * (1 - erfc(x / 2 / np.sqrt(self.a_f * t)) / erfc(self.l * self.ratio))
        return np.where(x < self.front(t), near, beyond)

    def wall_flux(self, t):
        return self.k_n * self.wall / erf(self.l) / np.sqrt(np.pi * self.a_n * t)


def solve(tools, cases, cells, first, last, per_cell):
    """Front by both for each case: [(exact m, ours m)], at even depths from first to last cells."""
    width = DEPTH / cells
    jobs, exact = [], []
    for _, m, wall, far in cases:
        n = Neumann(m, wall, far)
        looks = n.time(np.linspace(first, last, int((last - first) * per_cell) + 1)[1:] * width)
        time = looks[-1] * np.linspace(0, 1, 4001)**2
        end = n.temperature(DEPTH, np.maximum(time, 1e-9))
        start = m["melts_at"] + (far if far else (-1e-9 if wall > 0 else 1e-9))
        air = {"time": list(time), "temperature": list(m["melts_at"] + end)}
        jobs.append(column("plane", [{"material": m, "edges": even(0, DEPTH, cells)}], start,
                           held("ground"), held("air") if far else None, looks, air=air,
                           ground=m["melts_at"] + wall, accuracy=0.002))
        exact.append(n)
    fronts = []
    for (_, _, wall, _), n, answer in zip(cases, exact, tools.columns(jobs)):
        liquid = [np.sum(s["liquid_fraction"]) * width for s in answer["shots"]]
        fronts.append([(float(n.front(s["time"])), float(l if wall > 0 else DEPTH - l))
                       for s, l in zip(answer["shots"], liquid)])
    return fronts


def worst(fronts, low, high=1.0):
    return max((f for f in fronts if low < f[0] <= high), key=lambda f: abs(f[1] / f[0] - 1))


def run(tools):
    rows, seen = [], []
    fronts = solve(tools, CASES, 100, 5, 50, 12)  # twelve instants a cell: none is favoured
    for (name, *_), f in zip(CASES, fronts):
        exact, ours = worst(f, 0.005)
        rows.append(Row(f"{name}: worst front from 5 cells on", 1e3 * exact, 1e3 * ours, "relative", 1e-3,
                        "mm"))
        exact, ours = worst(f, 0.00999)
        rows.append(Row(f"{name}: worst front from 10 cells on", 1e3 * exact, 1e3 * ours, "shown", 0, "mm"))
        late = [(b / a - 1)**2 for a, b in f if a > 0.025]
        rows.append(Row(f"{name}: root mean square past 25 mm", 0.0, 100 * float(np.sqrt(np.mean(late))),
                        "absolute", 0.1, "%"))
        seen.append((name, f))
    def draw(ax):
        for name, f in seen:
            ax.plot([1e3 * a for a, _ in f], [100 * (b / a - 1) for a, b in f], lw=1, label=name)
        ax.axhspan(-0.1, 0.1, color="0.9", zorder=0)
        ax.set(xlabel="depth of the front / mm (one cell 1 mm)", ylabel="error of the front / %",
               title="Grey: the bar of 0.1 %, from 5 cells on")
        ax.legend(fontsize=8, loc="lower right")
    return Outcome(rows, draw)
