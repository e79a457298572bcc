"""2. Bodies cooled by convection, and steady shells."""

import numpy as np
from scipy.optimize import brentq
from scipy.special import j0, j1

from .support import ZERO, Line, Outcome, Row, column, even, material

NAME = "Plane wall, cylinder and sphere with convection; steady shells"
SOURCE = ("Incropera & DeWitt 5.5, 5.6 and Table 5.1 (exact series, section numbers from memory); "
          "shells 3.3")
INPUTS = ("Biot number (Bi) 0.1, 1, 10, Fourier number (Fo) 0.1, 0.5, 2; surface temperature and heat lost as "
          "shares of 1; series of 60 terms; 160 cells; shells 0.10 to 0.15 m, k "
          "0.03, 8 W/m2/K inside, 10 outside, 0 and 30 degC")
BAR = "0.0005 of the first temperature difference; shells 0.001 %"
WHY = "One hundredth of a kelvin in a 20 K load; a steady shell is exact on any grid of shells."
QUICK = True
SERIES = "Incropera & DeWitt 5.5, 5.6, Table 5.1 (from memory)"
LINES = [Line("plane wall with convection", "^plane", SERIES, "0.01 K in a 20 K load."),
         Line("cylinder with convection", "^cylinder, ", SERIES, "0.01 K in a 20 K load."),
         Line("sphere with convection", "^sphere, ", SERIES, "0.01 K in a 20 K load."),
         Line("steady heat through shells", "shell", "Incropera & DeWitt 3.3 (from memory)",
              "A steady shell is exact on any grid of shells.")]

FO = (0.1, 0.5, 2.0)
BI = (0.1, 1.0, 10.0)
K, RHO, C, SIZE = 0.5, 1000.0, 2000.0, 0.05


def roots(geometry, bi, count=60):
    eps = 1e-9
    if geometry == "plane":
        return [brentq(lambda z: z * np.sin(z) - bi * np.cos(z), n * np.pi + eps,
                       (n + 0.5) * np.pi) for n in range(count)]
    if geometry == "sphere":
        return [brentq(lambda z: np.sin(z) * (1 - bi) - z * np.cos(z), n * np.pi + eps,
                       (n + 1) * np.pi - eps) for n in range(count)]
    grid = np.linspace(1e-6, 60 * np.pi, 60000)
    f = grid * j1(grid) - bi * j0(grid)
    return [brentq(lambda z: z * j1(z) - bi * j0(z), grid[i], grid[i + 1])
            for i in np.flatnonzero(f[:-1] * f[1:] < 0)][:count]


def series(geometry, bi, fo):
    """Surface value and share of heat lost."""
    surface, lost = 0.0, 1.0
    for z in roots(geometry, bi):
        decay = np.exp(-z * z * fo)
        if geometry == "plane":
            c = 4 * np.sin(z) / (2 * z + np.sin(2 * z))
            surface += c * decay * np.cos(z)
            lost -= c * decay * np.sin(z) / z
        elif geometry == "cylinder":
            c = 2 / z * j1(z) / (j0(z)**2 + j1(z)**2)
            surface += c * decay * j0(z)
            lost -= c * decay * 2 * j1(z) / z
        else:
            c = 4 * (np.sin(z) - z * np.cos(z)) / (2 * z - np.sin(2 * z))
            surface += c * decay * np.sin(z) / z
            lost -= c * decay * 3 * (np.sin(z) - z * np.cos(z)) / z**3
    return surface, lost


def area(geometry, r):
    return {"plane": 1.0, "cylinder": 2 * np.pi * r, "sphere": 4 * np.pi * r * r}[geometry]


def shell_rows(tools):
    rows = []
    for geometry in ("cylinder", "sphere"):
        a, b, k = 0.10, 0.15, 0.03
        inner, outer = 8 * area(geometry, a), 10 * area(geometry, b)
        job = column(geometry, [{"material": material(k, 35, 1400), "edges": even(a, b, 20)}],
                     ZERO + 10, {"to": "ground", "conductance": inner},
                     {"to": "air", "conductance": outer}, [30 * 86400.0],
                     air={"constant": ZERO + 30}, ground=ZERO, accuracy=1e-6)
        shape = np.log(b / a) / (2 * np.pi) if geometry == "cylinder" else (1 / a - 1 / b) / (4 * np.pi)
        exact = 30 / (shape / k + 1 / inner + 1 / outer)
        power = tools.columns([job])[0]["shots"][0]["power"][1]
        rows.append(Row(f"{geometry} shell, steady heat", exact, power, "relative", 1e-5,
                        "W/m" if geometry == "cylinder" else "W"))
    return rows


def run(tools):
    jobs, cases = [], []
    diffusivity = K / RHO / C
    for geometry in ("plane", "cylinder", "sphere"):
        for bi in BI:
            h = bi * K / SIZE
            jobs.append(column(geometry, [{"material": material(K, RHO, C), "edges": even(0, SIZE, 160)}],
                               ZERO + 40, None, {"to": "air", "conductance": h * area(geometry, SIZE)},
                               [fo * SIZE**2 / diffusivity for fo in FO], accuracy=1e-4))
            cases.append((geometry, bi))
    rows, seen = [], []
    for answer, (geometry, bi) in zip(tools.columns(jobs), cases):
        whole = {"plane": SIZE, "cylinder": np.pi * SIZE**2, "sphere": 4 / 3 * np.pi * SIZE**3}[geometry]
        for fo, shot in zip(FO, answer["shots"]):
            surface, lost = series(geometry, bi, fo)
            ours = (shot["surface"][0] - ZERO) / 40
            gone = -shot["heat"][0] / (RHO * C * whole * 40)
            rows.append(Row(f"{geometry}, Bi {bi:g}, Fo {fo:g}, surface", surface, ours, "absolute", 5e-4))
            rows.append(Row(f"{geometry}, Bi {bi:g}, Fo {fo:g}, heat lost", lost, gone, "absolute", 5e-4))
            seen.append((geometry, bi, fo, lost, gone))
    rows += shell_rows(tools)

    def draw(ax):
        fo = np.geomspace(0.03, 3, 40)
        for geometry, colour in (("plane", "C0"), ("cylinder", "C1"), ("sphere", "C2")):
            for bi in BI:
                ax.semilogx(fo, [series(geometry, bi, f)[1] for f in fo], color=colour, lw=1,
                            label=geometry if bi == 1 else None)
            ax.plot([s[2] for s in seen if s[0] == geometry], [s[4] for s in seen if s[0] == geometry],
                    "o", ms=4, color=colour)
        ax.set(xlabel="Fourier number: diffusivity x time / (half thickness or radius)²",
               ylabel="share of the heat lost",
               title="Biot number 0.1 (lowest of each colour), 1, 10: lines series, dots ours")
        ax.legend()
    return Outcome(rows, draw)
