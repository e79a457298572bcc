"""21. Fronts that run along a grid: a half space along either axis, rings about a line."""

import numpy as np

from .grids import Field, border, lines, section
from .line_sink import LineSource
from .neumann import Neumann
from .support import ICE, ZERO, Line, Outcome, Row

NAME = "Section: plane fronts along either axis, a front about a line"
SOURCE = "Carslaw & Jaeger, Conduction of Heat in Solids, 2nd ed., 11.2 and 11.6 (section numbers from memory)"
INPUTS = ("ice and water as in check 5. Half space: ice of -20 degC melts on a wall of +20, water of +20 "
          "freezes on a wall of -20, along x and along z on 1 mm cells, 4 mm across; the far end at 1.2 m. "
          "Line: 100 W/m out of water of 10 degC, round section, rings of 0.5 mm from 1 mm to 60 mm, heat "
          "imposed as in check 6. Asked for 5 mK; about the line also for 50, 20 and 10 mK")
BAR = ("front 0.1 % in a half space at 15, 30 and 60 min, 0.2 % about a line at 30 min, 1 h and 3 h; "
       "temperatures 0.1 K")
WHY = ("The bars of the same problems in one dimension, checks 5 and 6: a section may not be worse along its "
       "axes.")
QUICK = True
LINES = [Line("half space, front along x", "along x.*front", "Carslaw & Jaeger 11.2 (from memory)",
              "As in one dimension, check 5."),
         Line("half space, front along z", "along z.*front", "Carslaw & Jaeger 11.2 (from memory)",
              "As in one dimension, check 5."),
         Line("water freezes about a line: front", "^line.*front", "Carslaw & Jaeger 11.6 (from memory)",
              "As in one dimension, check 6."),
         Line("water freezes about a line: temperatures", "^line.*T at", "Carslaw & Jaeger 11.6 (from memory)",
              "As in one dimension, check 6.")]
R0 = 1e-3
HALF_SPACE = [("ice melts", 20.0, -20.0), ("water freezes", -20.0, 20.0)]
PLANE_TIMES = [900.0, 1800.0, 3600.0]
LINE_TIMES = [1800.0, 3600.0, 10800.0]
ASKED = (0.05, 0.02, 0.01, 0.005)  # K, about the line


def half_space(axis, wall, far):
    along = lines(0, (0.04, 40), (1.2, 1e-3, 0.03, 1.06, 0.03))
    across = lines(0, (0.004, 2))
    x, z = (along, across) if axis == "x" else (across, along)
    return section(x, z, [ICE], {f"low {axis}": border("ground")}, start=ZERO + far, ground=ZERO + wall,
                   times=PLANE_TIMES, accuracy=0.005)


def about_line(sink, accuracy):
    """The heat is given by a far temperature over a large resistance."""
    gain = 1e-6
    passing = (R0 / 2 / sink.l)**2 / sink.a_n
    time = np.unique(np.concatenate([passing * np.linspace(1e-3, 1, 400),
                                     passing * (1 + 1e-6) + LINE_TIMES[-1] * np.linspace(0, 1, 2000)**3]))
    air = {"time": list(time), "temperature": list(ZERO + sink.heat_at(R0, time) / gain)}
    r = lines(0, (R0, 1), (0.06, 118), (1.2, 0.5e-3, 0.05, 1.08, 0.05))
    return section(r, [0.0, 0.5, 1.0], [ICE], {"hole": border("air", gain / (2 * np.pi * R0))}, start=ZERO + sink.far,
                   air=air, round=True, regions=[{"material": -1, "x": [0, R0], "z": [0, 1]}],
                   times=LINE_TIMES, accuracy=accuracy)


def run(tools):
    sink = LineSource(ICE, -100.0, 10.0)
    cases = [(axis, *c) for c in HALF_SPACE for axis in "xz"]
    jobs = [half_space(axis, wall, far) for axis, _, wall, far in cases]
    jobs += [about_line(sink, asked) for asked in ASKED]
    answers = tools.sections(jobs)
    rows, seen = [], []
    for (axis, name, wall, far), answer in zip(cases, answers):
        exact = Neumann(ICE, wall, far)
        for shot in answer["shots"]:
            new = np.array(shot["liquid_fraction"])
            new = new if wall > 0 else 1 - new
            front = np.sum(new * answer["volume"]) / 0.004
            rows.append(Row(f"{name} along {axis}, front at {shot['time'] / 60:g} min",
                            1e3 * exact.front(shot["time"]), 1e3 * float(front), "relative", 1e-3, "mm"))
            seen.append((f"{name} along {axis}", rows[-1]))
    for asked, job, line in zip(ASKED, jobs[len(cases):], answers[len(cases):]):
        name = f"line asked for {1e3 * asked:g} mK"
        for shot in line["shots"]:
            t = shot["time"]
            frozen = np.sum((1 - np.array(shot["liquid_fraction"])) * line["volume"])
            rows.append(Row(f"{name}, front at {t / 60:g} min", 1e3 * sink.front(t),
                            1e3 * float(np.sqrt(R0**2 + frozen / np.pi)), "relative", 2e-3, "mm"))
            seen.append((name, rows[-1]))
            field = Field(job, np.array(shot["temperature"]) - ZERO)
            for r in (0.5 * sink.front(t), 2 * sink.front(t)):
                rows.append(Row(f"{name}, T at {1e3 * r:.1f} mm, {t / 60:g} min", float(sink.temperature(r, t)),
                                float(np.interp(r, field.xm[1:], field.values[0, 1:])), "absolute", 0.1, "degC"))

    def draw(ax):
        for name in dict.fromkeys(n for n, _ in seen):
            mine = [row for n, row in seen if n == name]
            ax.plot([row.reference for row in mine], [100 * row.difference for row in mine], "o-", ms=4, lw=1,
                    label=name)
        ax.axhspan(-0.1, 0.1, color="0.9", zorder=0)
        ax.set(xlabel="depth or radius of the front / mm", ylabel="error of the front / %",
               title="Grey: the bar of 0.1 % for plane fronts")
        ax.legend(fontsize=8)
    return Outcome(rows, draw)
