"""23. Energy closes in sections of any size, and the number of threads does not change a bit."""

import numpy as np

from .grids import border, lines, section
from .support import ICE, ZERO, Line, Outcome, Row, material

NAME = "Section: closure of energy, and the same bits on one thread and on two"
SOURCE = "conservation of energy; what a file says must not depend on the machine it was made on"
INPUTS = ("corner of 300 mm by 300 mm: ice of -5 degC (100 by 100 mm) in a metal skin in foam, films of 8 "
          "W/m2/K on the outer faces, air of 30 degC, an hour in steps of 360 s, on 50² to 400² even cells; "
          "up to 50 000 unknowns by Cholesky, beyond by conjugate gradients. Steady state of the corner "
          "without ice by either method")
BAR = "closure 1e-9; bits equal; the two linear methods agree to 1e-6"
WHY = ("1e-9 is the bar of the design. Bits are equal or they are not. The linear methods solve to 1e-8 of "
       "the first residual.")
QUICK = True
LINES = [Line("energy closes", "closure", why="The bar of the design."),
         Line("one thread and two: same bits", "bits", why="Equal or not."),
         Line("conjugate gradients against Cholesky: heat", "gradients", "the same equations by another method",
              "Both solve to 1e-8 of the first residual.")]

STEEL, FOAM = material(50, 7800, 450), material(0.03, 30, 1400)


def corner(n, melts, **how):
    even = lines(0, (0.3, n))
    regions = [{"material": 1, "x": [0, 0.12], "z": [0, 0.12]},
               {"material": 2 if melts else -1, "x": [0, 0.1], "z": [0, 0.1]}]
    borders = {"high x": border("air", 8), "high z": border("air", 8), "hole": border("ground", 8)}
    return section(even, even, [FOAM, STEEL, ICE], borders, start=ZERO - 5, air=ZERO + 30, regions=regions,
                   brief=True, **how)


def run(tools):
    sizes = (92,) if tools.quick else (50, 100, 200, 400)
    march = {"times": [3600.0], "accuracy": 0.1, "fixed_step": 360.0 if not tools.quick else 900.0}
    jobs = [corner(n, True, threads=t, **march) for n in sizes for t in (1, 2)]
    methods = ("direct", "iterative")
    jobs += [corner(100, False, threads=t, steady=1e-8, method=m) for m in methods for t in (1, 2)]
    answers = tools.sections(jobs)
    rows, closures = [], []
    for n, one, two in zip(sizes, answers[::2], answers[1::2]):
        closures.append((one["cells"], one["closure"]))
        rows.append(Row(f"closure, {one['cells']} cells, {one['steps']} steps", 0.0, one["closure"], "absolute", 1e-9))
        rows.append(Row(f"bits that differ between one thread and two, {one['cells']} cells", 0,
                        int(one["bits"] != two["bits"]), "absolute", 0))
    steady = answers[-2 * len(methods):]
    for method, one, two in zip(methods, steady[::2], steady[1::2]):
        rows.append(Row(f"bits that differ, steady, {method}, {one['cells']} cells", 0,
                        int(one["bits"] != two["bits"]), "absolute", 0))
    rows.append(Row(f"steady heat by conjugate gradients, {steady[0]['cells']} cells", steady[0]["power"][0],
                    steady[2]["power"][0], "relative", 1e-6, "W/m"))

    def draw(ax):
        ax.loglog([c for c, _ in closures], [max(c, 1e-17) for _, c in closures], "o-", ms=4, lw=1)
        ax.axhline(1e-9, color="0.6", lw=0.8)
        ax.annotate("bar", (closures[0][0], 1e-9), xytext=(0, 4), textcoords="offset points", fontsize=8)
        ax.set(ylim=(1e-17, 1e-8), xlabel="cells", ylabel="|heat in - heat stored| / heat exchanged",
               title="Closure of energy after an hour")
    return Outcome(rows, draw)
