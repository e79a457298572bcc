"""30. Steady conductance of boxes of one to three materials against three dimensions."""

import numpy as np
from scipy.sparse import coo_matrix, diags
from scipy.sparse.linalg import cg

from .support import Line, Outcome, Row

NAME = "Boxes of layers: conductance in three dimensions"
SOURCE = "finite volumes in three dimensions computed here, on one eighth of the box, layers running round the corners"
INPUTS = ("boxes of 40 x 30 x 25, 28 x 22 x 20 or 50 x 35 x 30 cm inside, faces held; k in W/m/K: foam 0.03, dense foam "
          "0.024, plastic 0.5, plywood 0.12, steel 15, vacuum panel 0.006 (round numbers); cells graded from the faces "
          "of layers, two sizes carried to zero with h^(4/3). Sections: full of melting ice that meets the walls with "
          "10 000 W/m2/K")
BAR = "0.7 % for columns and for sections"
WHY = "What is left of edges is a twentieth of the whole, and a corner's factor has two digits."
QUICK = True
NOTE = "Columns: what the program reports. Sections: what a run carries between its sixth and twelfth hour."
LINES = [Line("columns", "columns", why="Edges solved on their corner, corners by their law."),
         Line("sections", "section", why="Films of finite strength stay in the run.")]

KNOWN = {}

K = {"foam": 0.03, "dense": 0.024, "plastic": 0.5, "plywood": 0.12, "steel": 15.0, "panel": 0.006}
BOXES = {
    "foam": ((0.40, 0.30, 0.25), [("foam", 0.05)]),
    "two foams": ((0.28, 0.22, 0.20), [("foam", 0.02), ("dense", 0.03)]),
    "plastic skins": ((0.50, 0.35, 0.30), [("plastic", 0.004), ("foam", 0.045), ("plastic", 0.004)]),
    "small and thick, plastic skins": ((0.28, 0.22, 0.20), [("plastic", 0.003), ("dense", 0.07), ("plastic", 0.003)]),
    "steel liner, plywood": ((0.40, 0.30, 0.25), [("steel", 0.001), ("foam", 0.04), ("plywood", 0.006)]),
    "vacuum panel in foam": ((0.40, 0.30, 0.25), [("foam", 0.01), ("panel", 0.02), ("foam", 0.01)]),
}


def lines(half, wall, finest):
    """From the middle of the inside outward, graded to the faces of layers."""
    inner = [0.0]
    step = finest
    while inner[-1] < half:
        inner.append(inner[-1] + step)
        step *= 1.35
    inner = half - np.array(inner[:-1])[::-1]
    found = [0.0, *inner[1:], ] if inner[0] < 0.3 * step else [0.0, *inner]
    begin = half
    for _, thickness in wall:
        count = max(2, int(np.ceil(thickness / (3 * finest))))
        share = np.arange(1, count + 1) / count
        found += list(begin + thickness * (0.5 * share + 0.5 * share**2))
        begin += thickness
    return np.unique(np.round(found, 12))


def in_three_dimensions(inside, wall, finest):
    """W/K, faces held, of the whole box."""
    grid = [lines(size / 2, wall, finest) for size in inside]
    width = [np.diff(axis) for axis in grid]
    depth = [(axis[1:] + axis[:-1]) / 2 - size / 2 for axis, size in zip(grid, inside)]
    deepest = np.maximum(np.maximum(depth[0][:, None, None], depth[1][None, :, None]), depth[2][None, None, :])
    ends = np.cumsum([t for _, t in wall])
    k = np.array([K[name] for name, _ in wall] + [0.0])[np.searchsorted(ends, deepest)]
    solid = deepest > 0
    index = -np.ones(deepest.shape, int)
    index[solid] = np.arange(solid.sum())
    size = int(solid.sum())
    diagonal, right = np.zeros(size), np.zeros(size)
    rows, cols, values = [], [], []
    for axis in range(3):
        shape = [1, 1, 1]
        shape[axis] = -1
        half = np.broadcast_to((width[axis] / 2).reshape(shape), deepest.shape)
        area = np.ones(deepest.shape)
        for other in range(3):
            if other != axis:
                shape = [1, 1, 1]
                shape[other] = -1
                area = area * width[other].reshape(shape)
        low, high = [slice(None)] * 3, [slice(None)] * 3
        low[axis], high[axis] = slice(0, -1), slice(1, None)
        low, high = tuple(low), tuple(high)
        a, b = index[low], index[high]
        with np.errstate(divide="ignore", invalid="ignore"):
            g = area[low] / (half[low] / k[low] + half[high] / k[high])
            to_inside = area[high] * k[high] / half[high]
        both = (a >= 0) & (b >= 0)
        rows += [a[both], b[both]]
        cols += [b[both], a[both]]
        values += [-g[both], -g[both]]
        np.add.at(diagonal, a[both], g[both])
        np.add.at(diagonal, b[both], g[both])
        face = (a < 0) & (b >= 0)
        np.add.at(diagonal, b[face], to_inside[face])
        np.add.at(right, b[face], to_inside[face])
        last = [slice(None)] * 3
        last[axis] = -1
        last = tuple(last)
        np.add.at(diagonal, index[last].ravel(), (area[last] * k[last] / half[last]).ravel())
    matrix = coo_matrix((np.concatenate(values), (np.concatenate(rows), np.concatenate(cols))),
                        shape=(size, size)).tocsr() + diags(diagonal)
    x, _ = cg(matrix, right, tol=1e-9, M=diags(1 / diagonal))
    return 8 * (right.sum() - right @ x)


def case(inside, wall, detail):
    known = "".join(f"""
  {name}: {{title: test {name}, uses: [wall], density: {{value: 30 kg/m3, source: test}},
    heat_capacity: {{value: 1000 J/kg/K, valid: [-40 degC, 60 degC], source: test}},
    conductivity: {{value: {k} W/m/K, valid: [-40 degC, 60 degC], source: test}}}}""" for name, k in K.items())
    layers = ", ".join(f"{{material: {name}, thickness: {t} m}}" for name, t in wall)
    l, w, h = inside
    return f"""
title: box of layers
materials:{known}
box: {{inside: {{length: {l} m, width: {w} m, height: {h} m}}, wall: [{layers}], inside_coefficient: 1000 W/m2/K}}
coolant:
  - {{name: ice, material: water_ice, amount: {0.59 * l * w * h * 917} kg, form: loose, place: floor,
     start_liquid_fraction: 0.01, contact: {{coefficient: 10000 W/m2/K}}}}
surroundings: {{air: 20 degC, outside_coefficient: 100000 W/m2/K, long_wave: off,
  stands_on: {{coefficient: 100000 W/m2/K}}}}
run: {{duration: 12 h, accuracy: 0.02 K, detail: {detail}}}
"""


def carried(history):
    heat, time = history["budget/heat"].sum(axis=1), history["time"]
    late = len(time) // 2
    return float((heat[-1] - heat[late]) / (time[-1] - time[late]) / 20)


def run(tools):
    rows, off = [], {"columns": [], "section": []}
    sizes = (2.0e-3, 1.4e-3) if tools.quick else (1.4e-3, 1.0e-3)
    for name, (inside, wall) in BOXES.items():
        rough, fine = (in_three_dimensions(inside, wall, size) for size in sizes)
        reference = fine + (fine - rough) / ((sizes[0] / sizes[1])**(4 / 3) - 1)
        parts = tools.run_case(case(inside, wall, "1d").replace("12 h", "1 h"))["resolved"]["conductance_W_K"].values()
        ours = {"columns": sum(sum(p.values()) for p in parts),
                "section": carried(tools.run_case(case(inside, wall, "2d")))}
        for detail, value in ours.items():
            rows.append(Row(f"{name}, {detail}", float(reference), value, "relative", 0.007, "W/K"))
            off[detail].append(100 * (value / reference - 1))

    def draw(ax):
        for i, (detail, values) in enumerate(off.items()):
            ax.barh(np.arange(len(BOXES)) + 0.4 * i, values, 0.35, label=detail)
        ax.set_yticks(np.arange(len(BOXES)) + 0.2, list(BOXES))
        ax.axvspan(-0.7, 0.7, color="0.92", zorder=0)
        ax.set(xlabel="above three dimensions / %", title="Steady conductance; grey: the bar")
        ax.legend()
    return Outcome(rows, draw)
