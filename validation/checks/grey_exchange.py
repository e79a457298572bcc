"""11. Long-wave exchange in the box."""

import numpy as np

from .support import Line, Outcome, Row

NAME = "Grey exchange between inner surfaces"
SOURCE = ("radiosity equations of a grey enclosure, Incropera & DeWitt 13.3 (section number from "
          "memory), solved here in numpy")
INPUTS = "six faces of a 50 x 30 x 30 cm box, and two faces; temperatures 0 to 20 degC, emissivity 0.1 to 0.95"
BAR = "1e-6 of the largest flow"
WHY = "With view factors in proportion to area the star is exact; only round-off remains."
QUICK = True
LINES = [Line("heat into every inner surface, four enclosures")]
NOTE = ("The inside is a star about one node without heat capacity. That is exact for surfaces that see "
        "every surface, themselves included, in proportion to its area. The rows \"shown only\" say "
        "what it costs elsewhere: for a cube, whose flat faces do not see themselves, the exchange "
        "with one cold face comes out 15 % too small at emissivity 0.9; between two plates that see only "
        "each other, 45 %.")

SIGMA = 5.670374419e-8


def radiosity(areas, emissivities, temperatures, views):
    """Heat (W) into each surface; views[i][j]: share of what leaves i that reaches j."""
    a, e, t = (np.array(x, float) for x in (areas, emissivities, temperatures))
    n = len(a)
    j = np.linalg.solve(np.eye(n) - (1 - e)[:, None] * views, e * SIGMA * t**4)
    return a * (views @ j - j)


def run(tools):
    box = [0.15, 0.15, 0.15, 0.15, 0.09, 0.09]
    cases = {"box, six faces": (box, [0.9, 0.9, 0.2, 0.95, 0.1, 0.6],
                               [273.15, 293.15, 283.15, 288.15, 278.15, 291.15]),
             "two faces, 0.9": ([1, 1], [0.9, 0.9], [273.15, 293.15]),
             "bright and dark": ([1, 3], [0.05, 0.9], [273.15, 293.15]),
             "cube, one cold face": ([1] * 6, [0.9] * 6, [273.15] + [293.15] * 5)}
    answers = tools.laws(enclosures=[dict(zip(("areas", "emissivities", "temperatures"), c))
                                     for c in cases.values()])["enclosures"]
    rows, pairs = [], []
    for (name, (a, e, t)), ours in zip(cases.items(), answers):
        views = np.tile(np.array(a) / np.sum(a), (len(a), 1))
        exact = radiosity(a, e, t, views)
        worst = int(np.argmax(np.abs(np.array(ours) - exact)))
        rows.append(Row(f"{name}: worst face", float(exact[worst]), ours[worst], "absolute",
                        1e-6 * float(np.max(np.abs(exact))), "W"))
        pairs += list(zip(exact, ours))
    cube = (np.ones((6, 6)) - np.eye(6)) * 0.2
    rows.append(Row("cube, true view factors (0.2 each)",
                    float(radiosity(*cases["cube, one cold face"], cube)[0]), answers[3][0], "shown", 0, "W"))
    plates = np.array([[0, 1], [1, 0]])
    rows.append(Row("two plates that see only each other",
                    float(radiosity(*cases["two faces, 0.9"], plates)[0]), answers[1][0], "shown", 0, "W"))

    def draw(ax):
        ax.plot([p[0] for p in pairs], [p[1] for p in pairs], "o", ms=4, label="a surface")
        ax.plot([-80, 80], [-80, 80], "k", lw=0.7, label="equal")
        ax.set(xlabel="radiosity equations / W", ylabel="ours / W", title="Heat into each surface")
        ax.legend()
    return Outcome(rows, draw)
