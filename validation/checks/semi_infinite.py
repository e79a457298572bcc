"""1. A half space whose face is stepped, or met by a fluid."""

import numpy as np
from scipy.special import erfc, erfcx

from .support import ZERO, Line, Outcome, Row, at_depth, column, graded, held, material

NAME = "Semi-infinite solid: step and convection"
SOURCE = ("Incropera & DeWitt, Fundamentals of Heat and Mass Transfer, 5.57, 5.58, 5.60 (equation "
          "numbers from memory); Carslaw & Jaeger, Conduction of Heat in Solids, 2.4 and 2.7")
INPUTS = ("20 degC, face held at 0 degC or met by a fluid of 0 degC with 10 W/m2/K; foam (k 0.025, "
          "rho 35, c 1400) and a water-like solid (k 0.6, rho 1000, c 4200), 200 graded cells")
BAR = "0.01 K; surface flux 0.1 %"
WHY = "A tenth of what a good logger resolves; the flux is what sets a hold time."
QUICK = True
IN_RANGE = "A tenth of what a good logger resolves."
FLUX = "The flux is what sets a hold time."
LINES = [Line("face held: temperature", r"step, \d", "Incropera & DeWitt 5.57 (number from memory)", IN_RANGE),
         Line("face held: heat flux", "step, flux", "Incropera & DeWitt 5.58 (number from memory)", FLUX),
         Line("convection on the face: temperature", r"convection, \d",
              "Incropera & DeWitt 5.60; Carslaw & Jaeger 2.7 (numbers from memory)", IN_RANGE),
         Line("convection on the face: heat flux", "convection, flux",
              "Incropera & DeWitt 5.60; Carslaw & Jaeger 2.7 (numbers from memory)", FLUX)]

SOLIDS = {"foam": (0.025, 35, 1400), "water-like": (0.6, 1000, 4200)}
TIMES = (600.0, 3600.0)
DEPTHS = (0.01, 0.03)


def exact(x, t, k, a, h):
    """T (degC) from 20 with the outside at 0; h None: face held."""
    eta = x / (2 * np.sqrt(a * t))
    if h is None:
        return 20 - 20 * erfc(eta)
    b = h * np.sqrt(a * t) / k
    # exp(hx/k + b²) erfc(eta + b) = exp(−eta²) erfcx(eta + b)
    return 20 - 20 * (erfc(eta) - np.exp(-eta**2) * erfcx(eta + b))


def run(tools):
    jobs, cases = [], []
    for name, (k, rho, c) in SOLIDS.items():
        for h in (None, 10.0):
            inner = held("ground") if h is None else {"to": "ground", "conductance": h}
            layer = {"material": material(k, rho, c), "edges": graded(0, 1.0, 2e-4, 1.025)}
            jobs.append(column("plane", [layer], ZERO + 20, inner, None, TIMES, ground=ZERO,
                               accuracy=1e-4))
            cases.append((name, k, k / rho / c, h))
    rows = []
    curves = []
    for job, answer, (name, k, a, h) in zip(jobs, tools.columns(jobs), cases):
        way = "step" if h is None else "convection"
        for x, shot in zip(DEPTHS, answer["shots"]):
            t = shot["time"]
            rows.append(Row(f"{name}, {way}, {1e3 * x:.0f} mm, {t:.0f} s", float(exact(x, t, k, a, h)),
                            float(at_depth(job, shot, x)), "absolute", 0.01, "degC"))
            flux = -k * 20 / np.sqrt(np.pi * a * t) if h is None else -h * exact(0, t, k, a, h)
            rows.append(Row(f"{name}, {way}, flux, {t:.0f} s", float(flux), shot["power"][0],
                            "relative", 1e-3, "W/m2"))
            curves.append((name, way, k, a, h, job, shot))

    def draw(ax):
        x = np.linspace(0, 0.12, 60)
        for i, (name, way, k, a, h, job, shot) in enumerate(curves):
            if shot["time"] != TIMES[1]:
                continue
            line, = ax.plot(1e3 * x, exact(x, shot["time"], k, a, h), label=f"{name}, {way}")
            dots = np.linspace(0.002, 0.118, 16)
            ax.plot(1e3 * dots, at_depth(job, shot, dots), "o", ms=3, color=line.get_color())
        ax.set(xlabel="depth / mm", ylabel="temperature / °C", title="After 1 h: lines exact, dots ours")
        ax.legend(loc="lower right")
    return Outcome(rows, draw)
