"""9. Natural convection on plates."""

import numpy as np

from .support import Outcome, Row

NAME = "Convection correlations, worked"
SOURCE = ("Churchill & Chu 1975; Incropera & DeWitt 9.26, 9.30, 9.32 (equation numbers from memory); "
          "worked here in Python")
INPUTS = ("k 0.0253, nu 1.50e-5, alpha 2.10e-5, beta 1/290.15; upright plates of 0.1 to 0.4 m, level "
          "plates with area over perimeter 0.05 to 0.1 m, 1 to 20 K")
BAR = "1e-9"
WHY = "The same formula in other hands; what it is worth against experiments is +-15 to 25 %."
QUICK = True

K, NU, ALPHA = 0.0253, 1.50e-5, 2.10e-5
BUOYANCY = 9.80665 / 290.15 / NU / ALPHA


def coefficient(law, length, difference):
    ra = BUOYANCY * difference * length**3
    if law == "vertical":
        pr = NU / ALPHA
        nu = (0.825 + 0.387 * ra**(1 / 6) / (1 + (0.492 / pr)**(9 / 16))**(8 / 27))**2
    else:
        nu = max(1, 0.54 * ra**0.25 if law == "unstable" else 0.52 * ra**0.2)
    return nu * K / length


def run(tools):
    asked = [{"law": law, "length": length, "difference": d}
             for law, lengths in (("vertical", (0.1, 0.4)), ("unstable", (0.05, 0.1)),
                                  ("stable", (0.05, 0.1))) for length in lengths for d in (1, 10, 20)]
    ours = tools.laws(film={"conductivity": K, "buoyancy": BUOYANCY, "prandtl": NU / ALPHA},
                      convection=asked)["convection"]
    rows = [Row(f"{q['law']}, {q['length']} m, {q['difference']} K", coefficient(**q), h, "relative",
                1e-9, "W/m2/K") for q, h in zip(asked, ours)]

    def draw(ax):
        d = np.linspace(0.5, 22, 60)
        for i, (law, length) in enumerate(sorted({(q["law"], q["length"]) for q in asked})):
            ax.plot(d, [coefficient(law, length, x) for x in d], lw=1, label=f"{law}, {length} m")
            ax.plot([q["difference"] for q in asked if (q["law"], q["length"]) == (law, length)],
                    [h for q, h in zip(asked, ours) if (q["law"], q["length"]) == (law, length)], "o",
                    ms=4, color=f"C{i}")
        ax.set(xlabel="temperature difference / K", ylabel="coefficient / W/m²K",
               title="Lines formula, dots ours")
        ax.legend(fontsize=7)
    return Outcome(rows, draw)
