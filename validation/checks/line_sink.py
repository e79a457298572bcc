"""6. A line sink or source in a body that freezes or melts about it."""

import numpy as np
from scipy.optimize import brentq
from scipy.special import expi

from .support import C14, ICE, ZERO, Line, Outcome, Row, column, graded

NAME = "Line sink and source: melting and freezing in cylindrical rings"
SOURCE = "Carslaw & Jaeger, Conduction of Heat in Solids, 2nd ed., 11.6 (section number from memory)"
INPUTS = ("100 W/m out of water of 10 degC, 60 W/m into ice of -10 degC, 15 W/m into n-tetradecane (C14, "
          "melts at 5.9) of 0 degC and out of it at 11.9 degC; rings from 1 mm on, 0.5 mm wide up to 60 mm, then growing to 2 m. At "
          "the inner radius the heat of the exact solution is imposed: that of the far phase until the "
          "front has passed it, that of the new phase afterwards")
BAR = "front 0.2 % at 1 h and 10 h; temperatures 0.1 K"
WHY = ("Twice the bar of the half space, as the rings about the front differ in volume; a ring that melts "
       "keeps no sensible heat apart, which shows as up to 0.1 K beside the front.")
QUICK = True
SHORT = "Twice the bar of the half space: the rings about the front differ in volume."
LINES = [Line("water freezes about a line: front", "^water.*front", why=SHORT),
         Line("ice melts about a line: front", "^ice.*front", why=SHORT),
         Line("coolant that melts at 5.9 degC melts and freezes about a line: front", "^C14.*front",
              why=SHORT),
         Line("temperatures on both sides of the front", "T at", why="A ring that melts keeps no sensible "
              "heat apart, which shows beside the front.")]

CASES = [("water freezes", ICE, -100.0, 10.0), ("ice melts", ICE, 60.0, -10.0),
         ("C14 melts", C14, 15.0, -5.9), ("C14 freezes", C14, -15.0, 6.0)]
R0 = 1e-3
TIMES = (3600.0, 36000.0)


class LineSource:
    """q W/m put in (negative: taken out); far: K over the melting point."""

    def __init__(self, m, q, far):
        solid, liquid = (m["k"], m["c"]), (m["k_liquid"], m["c_liquid"])
        (k_n, c_n), (k_f, c_f) = (liquid, solid) if q > 0 else (solid, liquid)
        self.k_n, self.k_f, self.q, self.far = k_n, k_f, q, far
        self.a_n, self.a_f = k_n / m["rho"] / c_n, k_f / m["rho"] / c_f
        self.ratio = self.a_n / self.a_f

        def miss(l):
            return (abs(q) * np.exp(-l * l) / 4 / np.pi
                    + k_f * abs(far) * np.exp(-l * l * self.ratio) / expi(-l * l * self.ratio)
                    - l * l * self.a_n * m["rho"] * m["latent"])
        self.l = brentq(miss, 1e-3, 2)

    def front(self, t):
        return 2 * self.l * np.sqrt(self.a_n * t)

    def temperature(self, r, t):
        near = np.sign(self.q) * abs(self.q) / 4 / np.pi / self.k_n \
            * np.abs(expi(-r * r / 4 / self.a_n / t) - expi(-self.l**2))
        beyond = self.far * (1 - expi(-r * r / 4 / self.a_f / t) / expi(-self.l**2 * self.ratio))
        return np.where(r < self.front(t), near, beyond)

    def heat_at(self, r, t):
        before = 4 * np.pi * self.k_f * abs(self.far) * np.exp(-r * r / 4 / self.a_f / t) \
            / np.abs(expi(-self.l**2 * self.ratio))
        after = abs(self.q) * np.exp(-r * r / 4 / self.a_n / t)
        return np.sign(self.q) * np.where(self.front(t) < r, before, after)


def run(tools):
    rings = graded(0.06, 2.0, 5e-4, 1.08)
    edges = list(np.linspace(R0, 0.06, 119)) + rings[1:]
    tiny = 1e-6  # W/K: the heat is given by a far temperature over a large resistance
    jobs, exact = [], []
    for _, m, q, far in CASES:
        s = LineSource(m, q, far)
        passing = (R0 / 2 / s.l)**2 / s.a_n
        time = np.unique(np.concatenate([passing * np.linspace(1e-3, 1, 400),
                                         passing * (1 + 1e-6) + TIMES[1] * np.linspace(0, 1, 3000)**3]))
        air = {"time": list(time), "temperature": list(m["melts_at"] + s.heat_at(R0, time) / tiny)}
        jobs.append(column("cylinder", [{"material": m, "edges": edges}], m["melts_at"] + far,
                           {"to": "air", "conductance": tiny}, None, TIMES, air=air, accuracy=0.005))
        exact.append(s)
    rows, seen = [], []
    middle = (np.array(edges[1:]) + np.array(edges[:-1])) / 2
    area = np.pi * np.diff(np.array(edges)**2)
    for (name, m, q, far), s, answer in zip(CASES, exact, tools.columns(jobs)):
        for shot in answer["shots"]:
            t = shot["time"]
            new = np.array(shot["liquid_fraction"])
            new = new if q > 0 else 1 - new
            radius = np.sqrt(R0**2 + np.sum(area * new) / np.pi)
            rows.append(Row(f"{name}, front at {t / 3600:.0f} h", 1e3 * float(s.front(t)),
                            1e3 * float(radius), "relative", 2e-3, "mm"))
            temperature = np.array(shot["temperature"]) - m["melts_at"]
            for r in (0.5 * s.front(t), 2 * s.front(t)):
                rows.append(Row(f"{name}, T at {1e3 * r:.1f} mm, {t / 3600:.0f} h",
                                float(s.temperature(r, t)) + m["melts_at"] - ZERO,
                                float(np.interp(r, middle, temperature)) + m["melts_at"] - ZERO,
                                "absolute", 0.1, "degC"))
            seen.append((name, s, t, temperature))

    def draw(ax):
        r = np.geomspace(2e-3, 0.15, 200)
        for name, s, t, temperature in seen:
            if t == TIMES[0]:
                line, = ax.semilogx(1e3 * r, s.temperature(r, t), lw=1, label=name)
                dots = np.geomspace(2.2e-3, 0.14, 25)
                ax.plot(1e3 * dots, np.interp(dots, middle, temperature), "o", ms=3,
                        color=line.get_color())
        ax.set(xlabel="radius / mm", ylabel="temperature above melting point / K",
               title="After 1 h: lines exact, dots ours")
        ax.legend()
    return Outcome(rows, draw)
