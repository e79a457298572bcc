"""29. The detail that a case gets which names none, against the finest."""

import json
import os
import subprocess
from concurrent.futures import ThreadPoolExecutor

import numpy as np

from .support import MATERIALS, Line, Outcome, Row

NAME = "The default detail"
SOURCE = "the same boxes as sections at 0.05 K; no publication"
INPUTS = ("300 random boxes (8 in a quick round): 25 to 60 cm long, one in seven round, walls of foam with and without "
          "skins, one in ten with an aluminium liner; loose ice (kept or drained, round the contents or below them) or "
          "one or two packs of ice, gel, brine or tetradecane on the floor, under the lid, at the sides, around the "
          "contents or free; cans or a block of fish; steady or daily weather, 72 h; fixed seed")
BAR = ("spent: 2 % in nine of ten, 3 % at worst; contents when the finest passes its limit: 0.2 K in nine of ten; "
       "heat that came in 1 % at worst")
WHY = "What a user can place a pack and a can by; columns, shown beside, miss it by far where coolants touch walls."
QUICK = True
NOTE = ("The limit is 3 K above the start of the contents. The temperature is that of the contents at the instant the "
        "finest passes the limit. Columns are computed for every box, whatever was chosen.")
LINES = [Line("instant the coolant is spent", "^spent", why="The bar of the brief."),
         Line("contents when the limit is passed", "^contents", why="Half of what a thermocouple is worth."),
         Line("heat that came in", "^heat", why="Edges and films on a coarse grid.")]

KINDS = {"loose ice": lambda kind: kind == {"loose"},
         "packs on walls": lambda kind: bool(kind & {"floor", "lid", "sides"}),
         "packs free or around": lambda kind: kind <= {"free", "around"}}


def boxes(tools, count):
    """Rows of all boxes, worked off by as many processes as there are cores."""
    jobs = max(1, os.cpu_count() or 1)
    each = -(-count // jobs)
    parts = [(i, min(each, count - i)) for i in range(0, count, each)]

    def part(of):
        done = subprocess.run([tools.build / "default_detail", MATERIALS, *map(str, of)], capture_output=True,
                              text=True, check=True, env=os.environ | {"OMP_NUM_THREADS": "1"})
        return [json.loads(line) for line in done.stdout.splitlines()]

    with ThreadPoolExecutor(jobs) as pool:
        return [row for rows in pool.map(part, parts) for row in rows]


def apart(rows, which):
    """Relative differences of spent and heat, of the temperature in K; nothing where either has none."""
    spent = [r[which]["spent"] / r["finest"]["spent"] - 1 for r in rows
             if r["finest"]["spent"] > 0 and r[which]["spent"] > 0]
    kelvin = [r[which]["at_end"] - r["limit"] for r in rows if r["finest"]["end"] > 0]
    heat = [r[which]["heat"] / r["finest"]["heat"] - 1 for r in rows]
    return [np.abs(values) for values in (spent, kelvin, heat)]


def run(tools):
    every = boxes(tools, 8 if tools.quick else 300)
    told = [row for row in every if "error" not in row]
    rows = [Row("boxes refused", 0, len(every) - len(told), "absolute", 0),
            Row("runs that did not complete", 0,
                sum(not row[k]["completed"] for row in told for k in ("finest", "chosen", "columns")), "absolute", 0)]
    spent, kelvin, heat = apart(told, "chosen")
    rows += [Row("spent, nine of ten boxes within", 0, 100 * float(np.percentile(spent, 90)), "absolute", 2, "%"),
             Row("spent, worst", 0, 100 * float(spent.max()), "absolute", 3, "%"),
             Row("contents when the limit is passed, nine of ten within", 0, float(np.percentile(kelvin, 90)),
                 "absolute", 0.2, "K"),
             Row("contents when the limit is passed, worst", 0, float(kelvin.max()), "shown", 0.2, "K"),
             Row("heat that came in, worst", 0, 100 * float(heat.max()), "absolute", 1, "%")]
    for name, belongs in KINDS.items():
        some = [row for row in told if belongs(set(row["kind"].split("+")))]
        for which, words in (("chosen", "default"), ("columns", "columns")):
            spent_, kelvin_, heat_ = apart(some, which)
            if not len(spent_) or not len(kelvin_):
                continue
            for what, values, unit, factor in (("spent", spent_, "%", 100), ("contents", kelvin_, "K", 1),
                                               ("heat", heat_, "%", 100)):
                rows.append(Row(f"{name}, {words}: {what}, median", 0, factor * float(np.median(values)), "shown", 0, unit))
                rows.append(Row(f"{name}, {words}: {what}, nine of ten within", 0,
                                factor * float(np.percentile(values, 90)), "shown", 0, unit))
                rows.append(Row(f"{name}, {words}: {what}, worst", 0, factor * float(values.max()), "shown", 0, unit))

    def draw(ax):
        for which, words, size in (("columns", "columns", 3), ("chosen", "default detail", 3)):
            seen = [(r["finest"]["spent"] / 3600, r[which]["spent"] / 3600) for r in told
                    if r["finest"]["spent"] > 0 and r[which]["spent"] > 0]
            ax.plot(*np.array(seen).T, ".", ms=size, label=words)
        ax.plot([0, 72], [0, 72], "k", lw=0.7)
        ax.set(xlabel="spent in the finest section / h", ylabel="spent / h", title=f"{len(told)} random boxes")
        ax.legend()
    return Outcome(rows, draw)
