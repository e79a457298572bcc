"""7. Freezing times without sensible heat."""

import numpy as np

from .support import ZERO, Line, Outcome, Row, column, even, material

NAME = "Plank's freezing and melting times"
SOURCE = ("ASHRAE Handbook, Refrigeration, \"Cooling and Freezing Times of Foods\" (chapter title from "
          "memory); Plank 1913")
INPUTS = ("size 50 mm, rho 917, L 333.4 kJ/kg, 20 K; freezing k 2.2, 25 W/m2/K; melting k 0.57, 10 "
          "W/m2/K; specific heat 1 J/kg/K; slab cooled on both faces, cylinder, sphere; 100 cells")
BAR = "0.5 %"
WHY = ("The formula itself is exact only without sensible heat (here 6e-5 of the latent heat); the last "
       "ring of a cylinder or sphere freezes in no time, so the grid shows there.")
QUICK = True
SHORT = "The formula is exact only without sensible heat, and the last cell changes in no time."
LINES = [Line("freezing and melting time, slab", "^slab", why=SHORT),
         Line("freezing and melting time, cylinder", "^cylinder", why=SHORT),
         Line("freezing and melting time, sphere", "^sphere", why=SHORT)]

P_R = {"plane": (1 / 2, 1 / 8), "cylinder": (1 / 4, 1 / 16), "sphere": (1 / 6, 1 / 24)}
SIZE = 0.05


def end_of_change(shots, freezing):
    """First looked-at instant (interpolated) at which all has changed phase."""
    left = [np.max(s["liquid_fraction"]) if freezing else 1 - np.min(s["liquid_fraction"]) for s in shots]
    for i, value in enumerate(left):
        if value <= 0:
            return 0.5 * (shots[i]["time"] + shots[max(i - 1, 0)]["time"])
    return shots[-1]["time"]


def run(tools):
    jobs, cases = [], []
    for geometry, (p, r) in P_R.items():
        for way, k, h in (("freezing", 2.2, 25.0), ("melting", 0.57, 10.0)):
            exact = 917 * 333.4e3 / 20 * (p * SIZE / h + r * SIZE**2 / k)
            m = material(2.2, 917, 1.0, k_liquid=0.57, c_liquid=1.0, melts_at=ZERO, latent=333.4e3)
            sign = -1 if way == "freezing" else 1
            half = SIZE / 2
            area = {"plane": 1, "cylinder": 2 * np.pi * half, "sphere": 4 * np.pi * half**2}[geometry]
            looks = exact * np.concatenate([np.linspace(0.1, 0.9, 17), np.linspace(0.98, 1.02, 161)])
            jobs.append(column(geometry, [{"material": m, "edges": even(0, half, 100)}],
                               ZERO - sign * 1e-9, None, {"to": "air", "conductance": h * area}, looks,
                               air={"constant": ZERO + 20 * sign}, accuracy=0.05))
            cases.append((geometry, way, exact))
    rows, seen = [], []
    names = {"plane": "slab", "cylinder": "cylinder", "sphere": "sphere"}
    for job, answer, (geometry, way, exact) in zip(jobs, tools.columns(jobs), cases):
        ours = end_of_change(answer["shots"], way == "freezing")
        rows.append(Row(f"{names[geometry]}, {way}", exact / 3600, ours / 3600, "relative", 5e-3, "h"))
        edges = np.array(job["layers"][0]["edges"])
        power = {"plane": 1, "cylinder": 2, "sphere": 3}[geometry]
        weight = np.diff(edges**power) / edges[-1]**power
        share = [np.sum(weight * np.array(s["liquid_fraction"])) for s in answer["shots"]]
        share = [1 - f for f in share] if way == "freezing" else share
        if way == "freezing":
            seen.append((names[geometry], [s["time"] / exact for s in answer["shots"]], share))

    def draw(ax):
        for name, time, share in seen:
            ax.plot(time, share, ".-", ms=3, label=name)
        ax.axvline(1, color="k", lw=0.8)
        ax.set(xlabel="time / Plank's time", ylabel="share frozen",
               title="Freezing; black: all must be frozen here")
        ax.legend()
    return Outcome(rows, draw)
