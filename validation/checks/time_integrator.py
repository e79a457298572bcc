"""13. The same cells and links by another time integrator."""

import numpy as np

from .support import CASES, Outcome, Row

NAME = "The same system by a general integrator"
SOURCE = ("SUNDIALS IDA (variable-order BDF; Hindmarsh et al., ACM Trans. Math. Software 2005, from memory) "
          "at 1e-5 and 1e-6 K")
INPUTS = ("validation/cases/gel-box.yaml (gel under bottles) and loose-ice.yaml (ice about cans, daily "
          "wave); the library's cells, links and T(h), with surfaces as algebraic equations; the instant "
          "the drinks pass 8 degC")
BAR = "0.05 % at the default accuracy of 0.05 K"
WHY = "Half of what the design allows a hold time to change when the tolerance is halved."
QUICK = True
NOTE = "This tests the march in time only: space and physics are the same on both sides."


def run(tools):
    rows, seen = [], []
    for name in ("gel-box", "loose-ice"):
        answer = tools.integrators(CASES / f"{name}.yaml")
        rough, fine = (r["end"] for r in answer["reference"])
        rows.append(Row(f"{name}, reference at 1e-5 K against 1e-6 K", fine / 3600, rough / 3600, "relative",
                        5e-5, "h"))
        for ours in answer["ours"]:
            default = ours["accuracy"] == 0.05
            rows.append(Row(f"{name}, accuracy {ours['accuracy']:g} K, {ours['steps']} steps", fine / 3600,
                            ours["end"] / 3600, "relative" if default else "shown", 5e-4, "h"))
        seen.append((name, [o["accuracy"] for o in answer["ours"]],
                     [abs(o["end"] / fine - 1) for o in answer["ours"]]))

    def draw(ax):
        for name, accuracy, error in seen:
            ax.loglog(accuracy, 100 * np.array(error), "o-", label=name)
        ax.axhline(0.05, color="k", lw=0.7)
        ax.set(xlabel="accuracy asked / K", ylabel="error of the hold time / %",
               title="Line: the bar, for 0.05 K")
        ax.legend()
    return Outcome(rows, draw)
