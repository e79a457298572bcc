"""25. Boxes cut as a section carry the heat of their faces, edges and corners."""

import numpy as np

from .box_conductance import BOXES, EDGE, K, case, shape
from .support import Line, Outcome, Row

NAME = "Section: heat through whole boxes in steady state"
SOURCE = ("faces A/t, edges 1 - 2 ln 2/pi by conformal map, corners 0.15 t after Langmuir 1913 (from memory); "
          "closed gap: ISO 6946:2017 Annex D (from memory)")
INPUTS = ("the boxes of check 4 cut as sections, full of melting ice that meets the walls with 10 000 W/m2/K, "
          "air of 20 degC; and the wide one with walls of a closed gap of 10 mm between two skins of 2 mm (k "
          "0.2)")
BAR = "0.5 %; with a gap 1 %"
WHY = "As in check 4; edges of layered walls have no exact term and are 4 % of the whole here."
QUICK = True
LINES = [Line("foam boxes", "foam", why="The corner factor has two digits: 0.5 % of the whole; films of finite "
              "strength stay in the run."),
         Line("box of a closed gap between skins", "gap", 
              why="The edges of layered walls, 4 % of the whole, have no exact term.")]
NOTE = ("Upright edges are in the breadth of a section, level ones in its grid, whose breadth grows outward at "
        "the corners too: no term of their own is needed for these.")

SKIN, GAP, K_SKIN = 2e-3, 10e-3, 0.2
RADIATIVE = 0.9 / 1.1 * 4 * 5.670374419e-8 * 283.15**3  # W/m2/K: faces of 0.9, 10 degC in the middle
WIDE = "50 x 30 x 30 cm"


def gap_wall(text):
    """The case with skins and a closed gap in place of foam."""
    a, _, rest = text.partition("  wall: [")
    rest = rest.partition("\n")[2]
    skin = f"{{material: foam, thickness: {SKIN} m}}"
    return f"{a}  wall: [{skin}, {{air_gap: {GAP} m}}, {skin}]\n{rest}".replace(f"value: {K} W/m/K",
                                                                               f"value: {K_SKIN} W/m/K")


def gap_box():
    """W/K by faces, edges and corners of one material that conducts as the layers do together."""
    a, b, c, _ = BOXES[WIDE]
    thickness = 2 * SKIN + GAP
    resistance = 2 * SKIN / K_SKIN + 1 / (0.025 / GAP + RADIATIVE)
    return thickness / resistance * shape((a, b, c, thickness), EDGE)


def run(tools):
    boxes = [(f"{name}, foam", case(box), K * shape(box, EDGE)) for name, box in BOXES.items()]
    boxes.append((f"{WIDE}, gap", gap_wall(case(BOXES[WIDE])), gap_box()))
    rows, seen = [], []
    for (name, text, reference), bar in zip(boxes, (5e-3, 5e-3, 1e-2)):
        history = tools.run_case(text.replace("run: {duration: 48 h", "run: {detail: 2d, duration: 12 h"))
        heat, hours = history["budget/heat"].sum(axis=1), history["time"] / 3600
        flow = np.gradient(heat, history["time"]) / 20
        late = len(hours) // 2
        carried = (heat[-1] - heat[late]) / (hours[-1] - hours[late]) / 3600 / 20
        rows.append(Row(name, reference, float(carried), "relative", bar, "W/K"))
        seen.append((name, hours, flow / reference))

    def draw(ax):
        for name, hours, share in seen:
            ax.plot(hours, 100 * (share - 1), lw=1, label=name)
        ax.axhspan(-0.5, 0.5, color="0.9", zorder=0)
        ax.set(xlabel="time / h", ylabel="heat carried above the reference / %", ylim=(-2, 2),
               title="Approach to steady state; grey: the bar of the foam boxes")
        ax.legend()
    return Outcome(rows, draw)
