"""15. What must be true of any box."""

import numpy as np

from .support import Outcome, Row

NAME = "Random boxes: what must always be true"
SOURCE = "common sense and the maximum principle of heat conduction; no publication"
INPUTS = ("520 random boxes (20 in a quick round), each four times: as it is, insulation 25 % thicker, 25 % "
          "more coolant (packs thicker over the same floor, or more loose ice), surroundings 3 K cooler; loose "
          "ice (kept or drained) and packs of ice, gel, brines and tetradecane; drinks not above 10 degC "
          "for up to 96 h; fixed seed")
BAR = ("no hold time shortened by more than 0.1 %; no cell more than 1e-6 K outside the range of "
       "temperatures put in; closure at most 1e-9")
WHY = "0.1 % is what the design allows a hold time to depend on the tolerance; the others are round-off."
QUICK = True
NOTE = ("A cell may leave the range by as much as the Newton residual allowed, a twenty-thousandth of the "
        "accuracy (2.5e-6 K here), for which the bar makes no allowance. A run that ends in values that "
        "are not numbers, and calls itself complete, is an error of the program.")

CHANGES = {"thicker": "a thicker wall", "more": "more coolant", "cooler": "cooler surroundings"}


def run(tools):
    boxes = tools.random_boxes(20 if tools.quick else 520)
    every = [box[k] for box in boxes for k in ("base", *CHANGES)]
    rows = [Row("runs that did not complete", 0, sum(not a["completed"] for a in every), "absolute", 0)]
    for key, words in CHANGES.items():
        change = [(box[key]["hold"] / box["base"]["hold"] - 1, box) for box in boxes
                  if box["base"]["hold"] > 0]
        short = [c for c in change if c[0] < -1e-3]
        rows.append(Row(f"hold times shortened by {words}", 0, len(short), "absolute", 0))
        rows.append(Row(f"smallest change of hold time by {words}", 0, 100 * min(c[0] for c in change),
                        "shown", 0, "%"))
    rows.append(Row("farthest any cell leaves the range", 0, max(0.0, max(a["outside"] for a in every)),
                    "absolute", 1e-6, "K"))
    finite = [a["closure"] for a in every if a["closure"] is not None]
    rows.append(Row("runs that end in values that are not numbers", 0, len(every) - len(finite),
                    "absolute", 0))
    rows.append(Row("worst closure of the others", 0, max(finite), "absolute", 1e-9))

    def draw(ax):
        for i, (key, words) in enumerate(CHANGES.items()):
            ax.plot([b["base"]["hold"] / 3600 for b in boxes], [b[key]["hold"] / 3600 for b in boxes], ".",
                    ms=3, label=words)
        ax.plot([0, 96], [0, 96], "k", lw=0.7)
        ax.set(xlabel="hold time as it is / h", ylabel="hold time changed / h",
               title="Nothing may lie under the line")
        ax.legend()
    return Outcome(rows, draw)
