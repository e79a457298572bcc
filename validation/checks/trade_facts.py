"""17. What people who pack boxes know."""

import numpy as np

from .support import ZERO, Known, Line, Outcome, Row

NAME = "Facts of the trade"
SOURCE = ("densities: IAPWS; the thin box: a logger record of a small foam box in a room, range as stated in "
          "the project's brief; the others: common practice, no source")
INPUTS = ("foam box of 28 x 20 x 20 or 22 x 16 x 14 cm inside, 15 to 30 mm EPS, 1.1 L of ice "
          "pack from -18 degC on its floor, two 0.33 L cans from 4 degC, room 22 degC, "
          "gasket 0.08 W/K; the same with a gel pack of equal volume; a well insulated box with a coolant "
          "that melts above the wanted temperature")
BAR = "in the range"
WHY = "Facts that hold for any such box, as ranges; a miss means the model is wrong in kind."
QUICK = True
PRACTICE = "common practice, no source"
LINES = [Line("10 mL of ice makes 9.2 mL of water", "water from", "densities of IAPWS",
              "What the density of ice allows."),
         Line("thin box: its pack is spent within a day and a half", "pack all liquid", PRACTICE,
              "Any foam box with 1 kg of ice in a warm room."),
         Line("thin box at 48 h: cans near the room's 22 degC", "thin box at 48", PRACTICE,
              "A spent box warms to its room, never past it."),
         Line("logger record of a small foam box: 18 to 19.5 degC at 48 h", "record",
              "range as stated in the project's brief", "The record's own range; its box is not described."),
         Line("ice and gel of equal volume keep about the same", "gel of equal", PRACTICE,
              "Gel is nearly all water."),
         Line("a coolant that melts above the limit does not hold it", "share of the melt", PRACTICE,
              "Most of it must be unused when the limit is passed."),
         Line("ice holds longer than such a coolant", "factor", PRACTICE, "At least twice as long.")]

KNOWN = {"record of 18 to 19.5 degC at 48 h: nearest of these boxes": Known(
    0.69, "The record does not say how large its box is, how thick its wall, nor what its cans stand on: of the boxes "
          "tried, as sections with cans on the pack, the nearest ends 0.7 K above the range.")}

# What the record does not say: the size inside (cm; the pack's thickness, mm, fits it) and the wall.
ROOMY, SNUG = ("28 cm", "20 cm", "20 cm", "25 mm"), ("22 cm", "16 cm", "14 cm", "35 mm")
WALLS = (15, 20, 25, 30)  # mm


def thin_box(material, wall=15, size=ROOMY):
    length, width, height, pack = size
    return f"""
title: thin foam box
box:
  inside: {{length: {length}, width: {width}, height: {height}}}
  wall: [{{material: eps, thickness: {wall} mm}}]
  gasket_leak: 0.08 W/K
coolant:
  - {{name: pack, material: {material}, amount: 1.1 L, form: pack, thickness: {pack}, start: -18 degC}}
payload:
  - {{name: cans, contents: diet_soft_drink, start: 4 degC,
     cans: {{count: 2, volume: 0.33 L, diameter: 66 mm, height: 115 mm}}}}
surroundings: {{air: 22 degC}}
limits: [{{name: cold, probe: cans, not_above: 8 degC}}]
run: {{duration: 48 h}}
"""


def warm_coolant(material):
    return f"""
title: coolant that melts above the wanted temperature
box:
  inside: {{length: 35 cm, width: 25 cm, height: 28 cm}}
  wall: [{{material: xps, thickness: 50 mm}}]
coolant:
  - {{name: plates, material: {material}, amount: 4 kg, form: pack, thickness: 40 mm,
     place: sides, start: 2 degC}}
payload:
  - {{name: cans, contents: cola, start: 3 degC,
     cans: {{count: 10, volume: 0.33 L, diameter: 66 mm, height: 115 mm}}}}
surroundings: {{air: 28 degC}}
limits: [{{name: cold, probe: cans, not_above: 5 degC}}]
run: {{duration: 72 h}}
"""


def series(history, name):
    index = history["probes/names"].index(name)
    return history["time"] / 3600, history["probes/temperature"][:, index] - ZERO


def run(tools):
    ours = tools.laws(curves=[{"material": "water_ice", "temperatures": [ZERO]}])["curves"][0]
    rows = [Row("water from 10 mL of ice", (9.05, 9.25), 10 * ours["density"] / ours["density_liquid"],
                "range", 0, "mL")]
    ice, gel = (tools.run_case(thin_box(m)) for m in ("water_ice", "gel_pack"))
    rows.append(Row("thin box: pack all liquid", (0.5, 36), float(ice["coolant/spent_at"][0]) / 3600,
                    "range", 0, "h"))
    end = {}
    for name, history in (("ice pack", ice), ("gel pack", gel)):
        end[name] = float(series(history, "cans")[1][-1])
        rows.append(Row(f"thin box at 48 h, {name}: cans", (18, 22), end[name], "range", 0, "degC"))
    reads, curves = [], []
    for words, size in (("roomy", ROOMY), ("snug", SNUG)):
        for wall in WALLS:
            history = tools.run_case(thin_box("water_ice", wall, size))
            reads.append(float(series(history, "cans")[1][-1]))
            rows.append(Row(f"{words} box, {wall} mm, spent at {history['coolant/spent_at'][0] / 3600:.1f} h: "
                            "cans at 48 h", (18, 19.5), reads[-1], "shown", 0, "degC"))
            curves.append((f"{words} box, {wall} mm", *series(history, "cans")))
    nearest = min(reads, key=lambda r: max(18 - r, r - 19.5, 0))
    rows.append(Row("record of 18 to 19.5 degC at 48 h: nearest of these boxes", (18, 19.5), nearest,
                    "range", 0, "degC"))
    t, a = series(ice, "cans")
    b = series(gel, "cans")[1]
    rows.append(Row("ice and gel of equal volume: farthest apart", (0, 3), float(np.max(np.abs(a - b))),
                    "range", 0, "K"))
    rows.append(Row("ice and gel of equal volume: apart at 48 h", (0, 1),
                    abs(end["ice pack"] - end["gel pack"]), "range", 0, "K"))
    held = tools.run_case(warm_coolant("n_tetradecane"))
    better = tools.run_case(warm_coolant("water_ice").replace("start: 2 degC", "start: -2 degC"))
    broke = float(held["limits/end_time"][0])
    melted = float(np.interp(broke, held["time"], held["coolant/liquid_fraction"][:, 0]))
    rows.append(Row("melts at 5.9, wanted 5 degC: share of the melt left when the limit is passed",
                    (0.5, 1.0), 1 - melted, "range"))
    ice_end = float(better["limits/end_time"][0])
    rows.append(Row("the same mass of ice holds longer by a factor", (2, 1000),
                    (ice_end if ice_end > 0 else 72 * 3600) / broke, "range"))

    def draw(ax):
        ax.plot(t, a, label="roomy box, 15 mm, ice pack")
        ax.plot(t, b, label="the same, gel pack")
        words, time, cans = curves[reads.index(nearest)]
        ax.plot(time, cans, label=words + ", ice pack")
        ax.plot(*series(held, "cans"), label="coolant melts at 5.9 °C, wanted 5 °C")
        ax.axhspan(18, 19.5, color="0.9")
        ax.set(xlabel="time / h", ylabel="cans / °C", title="Grey: range of the logger record at 48 h",
               xlim=(0, 48))
        ax.legend(fontsize=8)
    return Outcome(rows, draw)
