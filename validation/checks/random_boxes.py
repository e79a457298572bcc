"""16. What must be true of any box."""

import numpy as np

from .support import Line, Outcome, Row

NAME = "Random boxes: what must always be true"
SOURCE = "common sense and the maximum principle of heat conduction; no publication"
INPUTS = ("520 random boxes (20 in a quick round), each five times: as it is, insulation 25 % thicker, 25 % "
          "more coolant (packs thicker over the same floor, or more loose ice), surroundings 3 K cooler, and as "
          "it is at an accuracy of 0.01 instead of 0.05 K: 2600 runs; loose "
          "ice (kept or drained) and packs of ice, gel, brines and tetradecane; drinks not above 10 degC "
          "for up to 96 h; fixed seed")
BAR = ("no hold time shortened by more than 0.1 %; no cell more than 1e-6 K outside the range of "
       "temperatures put in, in a run asked for 0.01 K; closure at most 1e-9")
WHY = ("0.1 % is what the design allows a hold time to depend on the tolerance. Without a source no place "
       "gets warmer than the warmest nor colder than the coldest around it. A run solves each step to a "
       "twenty-thousandth of the accuracy asked, 5e-7 K at 0.01 K, so that 1e-6 K leaves it that and little "
       "else; at 0.05 K that share alone is 2.5e-6 K, so that those runs are shown only.")
QUICK = True
NOTE = ("The bar of 1e-6 K was first put to the runs asked for 0.05 K, which missed it with 2.0e-6 K; the "
        "bar stayed, and the runs asked for 0.01 K were added to meet or miss it. A run that ends in values that are not numbers, and calls itself complete, is an error of the "
        "program. Energy closure is the heat that crossed the walls less what the cells took up, over "
        "all the heat exchanged.")
LINES = [Line("hold times that a change for the better shortened", "shortened", why="Must never be; 0.1 % is "
              "left to the tolerance."),
         Line("temperatures stay in the range put in", "range",
              why="Twice what a step leaves unsolved at that accuracy."),
         Line("energy closes, runs complete", "closure|complete|not numbers", why="Round-off.")]

CHANGES = {"thicker": "a thicker wall", "more": "more coolant", "cooler": "cooler surroundings"}


def run(tools):
    boxes = tools.random_boxes(20 if tools.quick else 520)
    every = [box[k] for box in boxes for k in ("base", *CHANGES)]
    fine = [box["fine"] for box in boxes]
    rows = [Row("runs that did not complete", 0, sum(not a["completed"] for a in every + fine), "absolute", 0)]
    for key, words in CHANGES.items():
        change = [(box[key]["hold"] / box["base"]["hold"] - 1, box) for box in boxes
                  if box["base"]["hold"] > 0]
        short = [c for c in change if c[0] < -1e-3]
        rows.append(Row(f"hold times shortened by {words}", 0, len(short), "absolute", 0))
        rows.append(Row(f"smallest change of hold time by {words}", 0, 100 * min(c[0] for c in change),
                        "shown", 0, "%"))
    for asked, answers in (("0.01", fine), ("0.05", every)):
        rows.append(Row(f"asked {asked} K: farthest any cell leaves the range", 0,
                        max(0.0, max(a["outside"] for a in answers)),
                        "absolute" if asked == "0.01" else "shown", 1e-6, "K"))
    every += fine
    finite = [a["closure"] for a in every if a["closure"] is not None]
    rows.append(Row("runs that end in values that are not numbers", 0, len(every) - len(finite),
                    "absolute", 0))
    rows.append(Row("energy closure, worst of the other runs", 0, max(finite), "absolute", 1e-9))

    def draw(ax):
        for i, (key, words) in enumerate(CHANGES.items()):
            ax.plot([b["base"]["hold"] / 3600 for b in boxes], [b[key]["hold"] / 3600 for b in boxes], ".",
                    ms=3, label=words)
        ax.plot([0, 96], [0, 96], "k", lw=0.7)
        ax.set(xlabel="hold time of the box as it is / h", ylabel="hold time of the changed box / h",
               title=f"{len(boxes)} boxes of at most 96 h: nothing may lie under the line")
        ax.legend(loc="lower right")
    return Outcome(rows, draw)
