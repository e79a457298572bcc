"""24. A melting box as a section, against finite elements."""

import importlib.util
import json
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor

import numpy as np

from .support import CASES, ROOT, ZERO, Known, Line, Outcome, Row, not_run

NAME = "Section: a round box with two melting packs, against finite elements"
SOURCE = ("finite elements: dolfinx (python3-dolfinx) on its own mesh with its own implicit scheme, "
          "validation/finite_elements.py")
INPUTS = ("cases/round-section.yaml: 30 cm across, 24 cm high, three-layer walls that run round the corners, "
          "thicker in the lid; a pack on the floor and one under the lid that melt from 3 to 7 degC, k and c "
          "of both phases unlike; constant film and contact coefficients; daily wave outside, 12 h, 145 "
          "instants; ours twice as fine as by default")
BAR = "0.05 K at every instant; the elements' own answer, coarse against fine, 0.01 K"
WHY = ("A twentieth of a kelvin is half of what a good logger resolves. The elements must be a fifth of that "
       "from their own limit.")
QUICK = False
LINES = [Line("temperatures of air, packs and walls over the whole run", "ours",
              why="Half of what a good logger resolves."),
         Line("the elements' own convergence", "elements, coarse", "the same on a mesh coarser by a factor of 0.7",
              "A fifth of the bar that is asked of us."),
         Line("liquid fraction of the packs", "liquid", why="One hundredth of the heat of melting."),
         Line("not run", "^not run", "-", "Nothing was compared.")]
NOTE = ("Both melt alike, with the liquid fraction linear in temperature, so that the front is a band of 4 K "
        "that ends in a sharp edge at 7 degC. What the file of ours says of a cell is compared with the "
        "elements' temperature at its middle; the value shown is that of the instant at which they differ "
        "most.")

RIM, ABOVE = "rim of the pack below", "middle of the pack above"
FAST = "Behind the last of the melt this place warms by some 5 K an hour: what differs is {} of time."
KNOWN = {f"elements, coarse, {RIM}": Known(0.035, FAST.format("at most half a minute")),
         f"elements, coarse, {ABOVE}": Known(0.02, FAST.format("a quarter of a minute"))}

# Name, place (m from the axis, m above the floor inside) near which a cell is compared.
PLACES = [("middle of the pack below", 0.0, 0.007), (RIM, 0.112, 0.011),
          (ABOVE, 0.0, 0.2355), ("foam of the side, half way up", 0.168, 0.12),
          ("foam where side and base meet", 0.170, -0.020), ("foam where side and lid meet", 0.170, 0.265),
          ("foam of the lid, middle", 0.0, 0.263), ("inner skin of the side, low down", 0.1515, 0.02)]


def cell_near(history, r, z):
    """Index of the cell whose middle is nearest, and that middle."""
    x, zs = (history[f"grid/section/{a}"] for a in "xz")
    xm, zm = (v[1:] + v[:-1] for v in (x / 2, zs / 2))
    i, k = int(np.argmin(np.abs(xm - r))), int(np.argmin(np.abs(zm - z)))
    return int(history["grid/section/cell"][k, i]), float(xm[i]), float(zm[k])


def elements(points, times, fineness):
    question = {"case": str(CASES / "round-section.yaml"), "points": points, "times": times, "fineness": fineness,
                "longest_step": 150}
    answer = subprocess.run([sys.executable, ROOT / "validation" / "finite_elements.py"], input=json.dumps(question),
                            capture_output=True, text=True, env={"OMP_NUM_THREADS": "1", "PATH": "/usr/bin:/bin"})
    if answer.returncode:
        raise RuntimeError("finite_elements.py: " + answer.stderr.strip()[-300:])
    return json.loads(answer.stdout)


def without():
    row = not_run("python3-dolfinx is missing")
    return Outcome([row], lambda ax: ax.text(0.5, 0.5, row.what, ha="center", transform=ax.transAxes))


def run(tools):
    if importlib.util.find_spec("dolfinx") is None:
        return without()
    history = tools.run_case((CASES / "round-section.yaml").read_text())
    times = [float(t) for t in history["time"]]
    cells = [cell_near(history, r, z) for _, r, z in PLACES]
    points = [[r, z] for _, r, z in cells]
    with ThreadPoolExecutor() as pool:
        coarse, fine = pool.map(lambda n: elements(points, times, n), (0.7, 1.0))
    probes = dict(zip(history["probes/names"], history["probes/temperature"].T))
    field = history["fields/temperature"]
    ours = {"air": probes["air"], "mean of the pack below": probes["below"], "mean of the pack above": probes["above"],
            **{name: field[:, cell] for (name, *_), (cell, *_) in zip(PLACES, cells)}}

    def theirs(answer):
        return {"air": answer["air"], "mean of the pack below": answer["mean"]["below"],
                "mean of the pack above": answer["mean"]["above"],
                **{name: series for (name, *_), series in zip(PLACES, answer["points"])}}
    rows, apart = [], {}
    for (name, own), other, rough in zip(ours.items(), theirs(fine).values(), theirs(coarse).values()):
        own, other, rough = (np.array(v) - ZERO for v in (own, other, rough))
        apart[name] = own - other
        worst = int(np.argmax(np.abs(apart[name])))
        rows.append(Row(f"ours, {name}", other[worst], own[worst], "absolute", 0.05, "degC"))
        worst = int(np.argmax(np.abs(rough - other)))
        rows.append(Row(f"elements, coarse, {name}", other[worst], rough[worst], "absolute", 0.01, "degC"))
    for i, name in enumerate(history["coolant/names"]):
        own, other = history["coolant/liquid_fraction"][:, i], np.array(fine["liquid"][name])
        worst = int(np.argmax(np.abs(own - other)))
        rows.append(Row(f"liquid fraction of the pack {name}", other[worst], own[worst], "absolute", 0.01))
    rows.append(Row(f"unknowns of the elements in {fine['steps']} steps; ours have cells", fine["unknowns"],
                    history["fields/temperature"].shape[1], "shown"))

    def draw(ax):
        hours = np.array(times) / 3600
        for i, (name, difference) in enumerate(apart.items()):
            ax.plot(hours, difference, "-" if i < 10 else "--", lw=1, label=name)
        ax.axhspan(-0.05, 0.05, color="0.9", zorder=0)
        ax.set(xlabel="time / h", ylabel="ours less the elements' / K", ylim=(-0.11, 0.075),
               title="A melting box, section against finite elements; grey: the bar")
        ax.legend(fontsize=7, loc="lower left", ncol=2)
    return Outcome(rows, draw)
