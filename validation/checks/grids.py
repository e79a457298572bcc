"""Sections as jobs for the program section_checks, and their answers as fields over a grid."""

import numpy as np

from .support import ZERO

ISOTHERMAL = 1e7  # W/m2/K


def widths(length, first, last, growth, widest):
    """Cell widths that fill a length: `first` and `last` at its ends, growing towards the middle."""
    left, right = [first], [last]
    while sum(left) + sum(right) < length:
        side = left if left[-1] <= right[-1] else right
        side.append(min(side[-1] * growth, widest))
    found = np.array(left + right[::-1])
    return found * length / found.sum()


def lines(*stretches):
    """Lines of a grid from stretches (to, count) of even cells, or (to, first, last, growth, widest)
    of graded ones; the first stretch is the line to begin with."""
    found = [float(stretches[0])]
    for to, *how in stretches[1:]:
        begin = found[-1]
        if len(how) == 1:
            found += list(np.linspace(begin, to, how[0] + 1)[1:])
        else:
            found += list(begin + np.cumsum(widths(to - begin, *how))[:-1]) + [to]
    return [float(v) for v in found]


def border(to, coefficient=ISOTHERMAL):
    return {"to": to, "coefficient": float(coefficient)}


def section(x, z, materials, borders, *, start=ZERO, air=ZERO, ground=ZERO, **more):
    """A job; `air` and `ground` in K, `air` may be a trace."""
    air = air if isinstance(air, dict) else {"constant": air}
    return {"x": list(x), "z": list(z), "materials": materials, "borders": borders, "start": start,
            "air": air, "ground": ground, **more}


class Field:
    """Values of a section's cells over its grid, by [k (z), i (x)]; not a number in holes."""

    def __init__(self, job, values):
        self.x, self.z = np.array(job["x"]), np.array(job["z"])
        self.xm, self.zm = ((v[1:] + v[:-1]) / 2 for v in (self.x, self.z))
        made_of = np.zeros((len(self.zm), len(self.xm)), int)
        for region in job.get("regions", []):
            inside = np.outer((self.zm > region["z"][0]) & (self.zm < region["z"][1]),
                              (self.xm > region["x"][0]) & (self.xm < region["x"][1]))
            made_of[inside] = region["material"]
        self.values = np.full(made_of.shape, np.nan)
        self.values[made_of >= 0] = values
        conductivity = np.array([m["k"] for m in job["materials"]])[made_of]
        self.pull = conductivity / np.outer(np.diff(self.z), np.diff(self.x))

    def at_line(self, x, z):
        """Where two lines of the grid cross: the mean of the cells that meet there, weighted by their
        conductance, so that it is the temperature of a face between two materials."""
        i, k = (int(np.argmin(np.abs(v - to))) for v, to in ((self.x, x), (self.z, z)))
        if max(abs(self.x[i] - x), abs(self.z[k] - z)) > 1e-9:
            raise ValueError(f"no lines of the grid cross at {x}, {z}")
        near = np.s_[max(k - 1, 0):k + 1, max(i - 1, 0):i + 1]
        return float(np.average(self.values[near], weights=self.pull[near]))
