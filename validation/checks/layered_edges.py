"""25. Edges of unequal and layered walls: the area law of one dimension against sections."""

import numpy as np

from .grids import border, lines, section
from .support import ZERO, Line, Outcome, Row, material

NAME = "Edges of unequal and layered walls"
SOURCE = "the section solver, which check 19 holds to the exact edge"
INPUTS = ("box 40 x 30 x 30 cm inside, faces held, k in W/m/K: foam 0.03, plastic 0.5, plywood 0.12, aluminium 200, "
          "vacuum panel 0.005 (round numbers); the corner of two walls in a section, from 0.25 mm at the corner, "
          "less the plane walls, times the length of the edges")
BAR = "one material: 0.5 % of the edges. Layers: 1 % of the edges, 0.25 % of the whole box"
WHY = ("The law follows exact shape factors of one material. The edges of layers are computed on a coarse grid of "
       "their corner, 1 % of which is a quarter of a per cent of the whole.")
QUICK = False
LINES = [Line("equal and unequal walls of one material", "^one material", why=(
             "The formula of unequal walls is from memory; the section's own error of the edge is 0.2 %.")),
         Line("layered walls: edges", "^layers, edges", why="A coarse grid, made anew for every box."),
         Line("layered walls: the whole conductance of the box", "^layers, whole", why="A quarter of the edges' bar: they carry a sixth of the whole.")]
NOTE = ("One dimension reports plane, edges and corners of a box; here its edges are compared with edges computed in a "
        "section, layer by layer round the corner. Along a metal liner heat flows into the wall's whole face, "
        "which only `detail: 2d` computes.")

LENGTH, WIDTH, HEIGHT = 0.40, 0.30, 0.30
K = {"foam": 0.03, "plastic": 0.5, "plywood": 0.12, "metal": 200.0, "panel": 0.005}
FOAM = [("foam", 0.05)]
WALLS = {  # name: sides, lid and base; layers from the inside, m
    "one material, 50 mm all round": (FOAM, FOAM),
    "one material, sides 30 mm, lid and base 60 mm": ([("foam", 0.03)], [("foam", 0.06)]),
    "one material, sides 60 mm, lid and base 20 mm": ([("foam", 0.06)], [("foam", 0.02)]),
    "layers, skins of 4 mm plastic about 55 mm foam": ([("plastic", 0.004), ("foam", 0.055), ("plastic", 0.004)],) * 2,
    "layers, the same, lid and base 85 mm foam": (
        [("plastic", 0.004), ("foam", 0.055), ("plastic", 0.004)],
        [("plastic", 0.004), ("foam", 0.085), ("plastic", 0.004)]),
    "layers, 1 mm aluminium inside, 40 mm foam, 6 mm plywood": (
        [("metal", 0.001), ("foam", 0.04), ("plywood", 0.006)],) * 2,
    "layers, 20 mm vacuum panel between 10 mm foam": ([("foam", 0.01), ("panel", 0.02), ("foam", 0.01)],) * 2,
}


def thickness(wall):
    return sum(t for _, t in wall)


def plane(wall):
    """W/m2/K."""
    return 1 / sum(t / K[name] for name, t in wall)


def case(sides, level):
    def wall(layers):
        return "[" + ", ".join(f"{{material: {n}, thickness: {t} m}}" for n, t in layers) + "]"
    known = "".join(f"""
  {name}: {{title: test {name}, uses: [wall], density: {{value: 100 kg/m3, source: test}},
    heat_capacity: {{value: 1400 J/kg/K, valid: [-40 degC, 60 degC], source: test}},
    conductivity: {{value: {k} W/m/K, valid: [-40 degC, 60 degC], source: test}}}}"""
                    for name, k in K.items())
    return f"""
title: box of layers
materials:{known}
box:
  inside: {{length: {LENGTH} m, width: {WIDTH} m, height: {HEIGHT} m}}
  wall: {wall(sides)}
  lid: {wall(level)}
  base: {wall(level)}
surroundings: {{air: 20 degC}}
run: {{duration: 1 h}}
"""


def corner(one, other, half_one, half_other):
    """The corner of wall `one` (normal to x, `half_other` long inside) and `other` (normal to z)."""
    names = sorted(K)
    x = z = 0.0
    regions, x_lines, z_lines = [], [], []
    for (name, a), (_, b) in zip(one, other):
        x, z = x + a, z + b
        regions.append({"material": names.index(name), "x": [0, half_one + x], "z": [0, half_other + z]})
        x_lines.append((half_one + x, *ends(a)))
        z_lines.append((half_other + z, *ends(b)))
    inside = {"material": -1, "x": [0, half_one], "z": [0, half_other]}
    along = (0.02, 2.5e-4, 1.15, 0.02)
    return section(lines(0, (half_one, *along), *x_lines), lines(0, (half_other, *along), *z_lines),
                   [material(K[n], 100, 1000) for n in names],
                   {"hole": border("ground"), "high x": border("air"), "high z": border("air")},
                   regions=regions[::-1] + [inside], air=ZERO, ground=ZERO + 1, steady=1e-10, brief=True)


def ends(t):
    fine = min(2.5e-4, t / 4)
    return fine, fine, 1.15, 0.02


def edge(tools, one, other):
    """What a metre of edge adds to the plane walls, W/K. Walls reach 8 thicknesses from the corner."""
    half = 8 * max(thickness(one), thickness(other))
    answer = tools.sections([corner(one, other, half, half)])[0]
    return answer["power"][0] - half * (plane(one) + plane(other))


def run(tools):
    rows, names, off_edges, off_whole = [], [], [], []
    for name, (sides, level) in WALLS.items():
        parts = tools.run_case(case(sides, level))["resolved"]["conductance_W_K"].values()
        ours = sum(p["edges"] for p in parts)
        whole = sum(sum(p.values()) for p in parts)
        theirs = (4 * HEIGHT * edge(tools, sides, sides)
                  + 4 * (LENGTH + WIDTH) * edge(tools, sides, level))
        rest = whole - ours
        if name.startswith("one"):
            rows.append(Row(f"{name}, edges", theirs, ours, "relative", 5e-3, "W/K"))
        else:
            rows.append(Row(name.replace("layers,", "layers, edges:"), theirs, ours, "relative", 0.01, "W/K"))
            rows.append(Row(name.replace("layers,", "layers, whole:"), rest + theirs, whole, "relative", 2.5e-3, "W/K"))
        names.append(name.split(", ", 1)[1])
        off_edges.append(100 * (ours / theirs - 1))
        off_whole.append(100 * (whole / (rest + theirs) - 1))

    def draw(ax):
        place = np.arange(len(names))
        ax.barh(place - 0.2, off_edges, 0.36, label="of the edges")
        ax.barh(place + 0.2, off_whole, 0.36, label="of the box")
        ax.set_yticks(place, names, fontsize=8)
        ax.invert_yaxis()
        ax.axvline(0, color="k", lw=0.6)
        ax.set(xlabel="area law of one dimension less section / %", title="Edges by the area law")
        ax.legend(fontsize=8)
    return Outcome(rows, draw)
