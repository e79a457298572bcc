"""10. Natural convection on plates."""

import numpy as np

from .support import Line, Outcome, Row

NAME = "Convection correlations, worked"
SOURCE = ("Churchill & Chu 1975; Incropera & DeWitt 9.26, 9.30, 9.32 (equation numbers from memory), "
          "worked here in Python; Incropera & DeWitt, Example 9.2 (numbers from memory)")
INPUTS = ("k 0.0253, nu 1.50e-5, alpha 2.10e-5, beta 1/290.15; upright plates of 0.1 to 0.4 m, level "
          "plates with area over perimeter 0.05 to 0.1 m, 1 to 20 K; unstable: warm face up or cold face down, "
          "stable: the other way about. Example: 0.71 m, 232 in 23 degC, h 7.0 W/m2/K")
BAR = "1e-9; worked example 1 %"
WHY = "The same formula in other hands; what it is worth against experiments is +-15 to 25 %."
QUICK = True
LINES = [Line("upright and level plates, formulas written again", "^(vertical|unstable|stable)",
              "Churchill & Chu 1975; Incropera & DeWitt 9.26, 9.30, 9.32 (numbers from memory)"),
         Line("worked example: upright glass at 232 degC in air of 23 degC", "worked",
              "Incropera & DeWitt, Example 9.2 (numbers from memory)",
              "The example is printed with two digits and reads its air from a table.")]
EXAMPLE = {"length": 0.71, "difference": 209.0, "k": 0.0338, "nu": 26.4e-6, "alpha": 38.3e-6, "beta": 0.0025,
           "answer": 7.0}

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

    x = EXAMPLE
    answer = tools.laws(film={"conductivity": x["k"], "buoyancy": 9.8 * x["beta"] / x["nu"] / x["alpha"],
                              "prandtl": 0.690},
                        convection=[{"law": "vertical", "length": x["length"],
                                     "difference": x["difference"]}])["convection"][0]
    rows.append(Row("worked example, upright, 0.71 m, 209 K", x["answer"], answer, "relative", 0.01,
                    "W/m2/K"))

    def draw(ax):
        d = np.linspace(0.5, 22, 60)
        for i, (law, length) in enumerate(sorted({(q["law"], q["length"]) for q in asked})):
            ax.plot(d, [coefficient(law, length, x) for x in d], lw=1, label=f"{law}, {length} m")
            ax.plot([q["difference"] for q in asked if (q["law"], q["length"]) == (law, length)],
                    [h for q, h in zip(asked, ours) if (q["law"], q["length"]) == (law, length)], "o",
                    ms=4, color=f"C{i}")
        ax.set(xlabel="temperature difference / K", ylabel="coefficient / W/m²K",
               title="Natural convection on plates: lines formula, dots ours")
        ax.legend(fontsize=7)
    return Outcome(rows, draw)
