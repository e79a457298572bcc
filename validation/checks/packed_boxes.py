"""28. What is in the box: a fish box, cans in ice and in air, ice about two cans, one entry as two."""

import numpy as np

from .support import ZERO, Known, Line, Outcome, Row

NAME = "What is in the box: fish, cans and ice"
SOURCE = ("fish box: Margeirsson, Gospavic, Palsson, Arason, Popov 2011, Int. J. Refrig. 34, 573-585 (temperatures "
          "from its abstract and the trial's guide, sizes from memory); cans: common practice, no source; ice about "
          "cans: bed, cover and films written here; ice lines: FAO Fisheries Technical Paper 348, 7.1 (straight, "
          "from memory)")
INPUTS = ("EPS box 355.5 x 220 x 85 mm, sides 22.25, lid and base 25 mm, 3 kg of fillets on the base and "
          "against the walls from 2 degC, 6.1 h at 19.4 degC, without and with a gel pack of 250 g, 10 mm thick, on them; cans of 0.33 L from 25 degC in "
          "ice and water, and in air of 2 degC; 0.1 to 5 kg of ice about two cans of 130 mm from 9 degC in air of "
          "9 degC; 8 kg of ice at 28 degC; boxes with one coolant entered as one or as two, length and width exchanged")
BAR = ("fish 1 K; cans 15 to 40 min and 1.5 to 4 h; cans in ice 0.3 K; ice lines r of -0.999 at least; one entry as two "
       "0.1 %; length and width 1e-9")
WHY = ("A probe in a fish box is worth 1 K with where it lies. Between the film written here and ours are the air's "
       "temperature of a step and the rounding of output. One body is one body.")
QUICK = True
NOTE = ("The fish box is computed at the values stated, none fitted; the fillets lie on the base and lean on the walls. "
        "The warmest fish was in a corner, which a block computed through its thickness has not, so it is only shown. "
        "About two cans: the share of their height in the bed, its contact dry to wet (25 to 120 W/m2/K), the air's film of the part above and the drink's own film are worked out here, with the melted share "
        "and the temperatures of air and bed of our run, and integrated by steps of 5 s.")
LINES = [Line("fish box against its trial", "fish", why="What a probe in fillets is worth."),
         Line("cans from 25 to 5 degC", "can of", "common practice, no source", "Ranges of practice."),
         Line("ice about two cans", "kg about", why="Two films and a level."),
         Line("mass of ice against time", "ice line", "FAO 348, 7.1, from memory", "Measured lines are as straight."),
         Line("one entry as two", "as two", why="One body."),
         Line("length and width exchanged", "exchanged", why="Round-off and the tolerance of a step.")]

KNOWN = {"2d: fish with a pack, mean": Known(
    1.15, "how cold, how thick and where the pack was is not stated; -18 degC, 10 mm and flat on the fillets are assumed")}

DETAILS = ("1d", "2d")


def probe(history, name):
    return history["probes/temperature"][:, history["probes/names"].index(name)] - ZERO


def fish_box(pack, detail):
    coolant = """coolant: [{name: pack, material: gel_pack, amount: 250 g, form: pack, thickness: 10 mm,
  place: around_payload, start: -18 degC}]
""" if pack else ""
    return f"""
title: fish box
box:
  inside: {{length: 355.5 mm, width: 220 mm, height: 85 mm}}
  wall: [{{material: eps, thickness: 22.25 mm}}]
  lid: [{{material: eps, thickness: 25 mm}}]
  base: [{{material: eps, thickness: 25 mm}}]
{coolant}payload: [{{name: fish, contents: fish_fillet, start: 2 degC, leans_on: walls,
  block: {{amount: 3 kg, thickness: 36 mm}}}}]
surroundings: {{air: 19.4 degC}}
run: {{duration: 6.1 h, detail: {detail}}}
"""


def fish_rows(tools):
    rows = []
    for detail in DETAILS:
        bare, cold = (tools.run_case(fish_box(pack, detail)) for pack in (False, True))
        rows.append(Row(f"{detail}: fish without a pack, warmest", 11.0, float(probe(bare, "fish surface")[-1]),
                        "shown", 1, "degC"))
        rows.append(Row(f"{detail}: fish without a pack, mean", 10.0, float(probe(bare, "fish")[-1]), "absolute", 1,
                        "degC"))
        rows.append(Row(f"{detail}: fish with a pack, mean", 5.0, float(probe(cold, "fish")[-1]), "absolute", 1, "degC"))
    return rows


def can_of_25(ice):
    if ice:
        coolant, air, wall = ("coolant: [{name: ice, material: water_ice, amount: 15 kg, form: loose, "
                              "start_liquid_fraction: 0.3}]\n"), "20 degC", "{material: xps, thickness: 10 cm}"
    else:
        coolant, air, wall = "", "2 degC", "{material: aluminium, thickness: 1 mm}"
    stands = "" if ice else ", stands_on: free"
    return f"""
title: can
box: {{inside: {{length: 40 cm, width: 40 cm, height: 30 cm}}, wall: [{wall}]}}
{coolant}payload: [{{name: drinks, contents: cola, start: 25 degC{stands},
  cans: {{count: 1, volume: 0.33 L, diameter: 66 mm, height: 115 mm}}}}]
surroundings: {{air: {air}, outside_coefficient: 1000 W/m2/K, stands_on: {{coefficient: 1000 W/m2/K}}}}
limits: [{{name: chilled, probe: drinks, not_above: 5 degC}}]
run: {{duration: 12 h}}
"""


def can_rows(tools):
    chilled = [float(tools.run_case(can_of_25(ice))["limits/chill_time"][0]) for ice in (True, False)]
    return [Row("can of 25 degC in ice and water: at 5 degC after", (15, 40), chilled[0] / 60, "range", 0, "min"),
            Row("can of 25 degC in air of 2 degC: at 5 degC after", (1.5, 4), chilled[1] / 3600, "range", 0, "h")]


# Two cans, standing in ice.
HEIGHT, DIAMETER, VOLUME, FLOOR = 0.130, 0.060, 0.33e-3, 0.5 * 0.3
FILM, ICE, WATER = 5.0, 916.7, 999.84


def ice_about_cans(kg):
    return f"""
title: ice about two cans
box:
  inside: {{length: 50 cm, width: 30 cm, height: 30 cm}}
  wall: [{{material: pu_foam, thickness: 35 mm}}]
  inside_coefficient: {FILM} W/m2/K
  inside_emissivity: 0.011
coolant: [{{name: ice, material: water_ice, amount: {kg} kg, form: loose, start: 0 degC}}]
payload: [{{name: drinks, contents: plain, start: 9 degC,
  cans: {{count: 2, volume: 0.33 L, diameter: 60 mm, height: 130 mm}}}}]
surroundings: {{air: 9 degC}}
materials:
  plain: {{title: plain water, uses: [payload], density: {{value: 1000 kg/m3, source: test}},
    heat_capacity: {{value: 4200 J/kg/K, valid: [-20 degC, 60 degC], source: test}},
    conductivity: {{value: 0.57 W/m/K, valid: [-20 degC, 60 degC], source: test}}}}
run: {{duration: 6 h, output_every: 1 min}}
"""


def in_the_bed(kg, melted):
    """Share of the cans' height that pieces (60 % full) or their water reach."""
    pieces = kg / ICE * (1 - melted)
    bulk = max(pieces / 0.6, pieces + kg / WATER * melted)
    free = FLOOR - 2 * np.pi / 4 * DIAMETER**2
    return min(1.0, bulk / free / HEIGHT)


def density(t):
    """Water, kg/m3, t in degC: the formula of Tanaka et al. 2001, Metrologia 38, 301."""
    return 999.97495 * (1 - (t - 3.983035)**2 * (t + 301.797) / (522528.9 * (t + 69.34881)))


def drink_film(wall, drink):
    """W/m2/K: Churchill & Chu's laminar plate of the can's height, joined to conduction at rest."""
    k, nu, alpha = 0.563, 1.65e-6, 1.335e-7  # at 3 degC
    dense = [density(wall), density(drink)]
    if min(wall, drink) < 3.983 < max(wall, drink):
        dense.append(density(3.983))
    ra = 9.81 * (max(dense) - min(dense)) / 1000 * HEIGHT**3 / (nu * alpha)
    plate = 0.670 * k / HEIGHT * ra**0.25 / (1 + (0.492 * alpha / nu)**(9 / 16))**(4 / 9)
    rest = 2.4048**2 * k / np.sqrt(4 / np.pi * VOLUME / HEIGHT)
    return (plate**4 + rest**4)**0.25


def cans_apart(kg, time, melted, ice, air):
    surface = np.pi * DIAMETER * (HEIGHT + DIAMETER / 2)
    t, told, dt = 9.0, [9.0], 5.0
    for i in range(1, len(time)):
        steps = int(round((time[i] - time[i - 1]) / dt))
        for _ in range(steps):
            f = (melted[i] + melted[i - 1]) / 2
            covered = in_the_bed(kg, f)
            touch = (25 + 95 * min(1.0, f / 0.02)) * covered
            beside = FILM * (1 - covered)
            around, bed = (air[i] + air[i - 1]) / 2, (ice[i] + ice[i - 1]) / 2
            wall = t
            for _ in range(30):
                h = drink_film(wall, t)
                wall = (touch * bed + beside * around + h * t) / (touch + beside + h)
            t -= dt * h * surface * (t - wall) / (VOLUME * 1000 * 4200)
        told.append(t)
    return np.array(told)


def ice_rows(tools):
    rows, curves = [], []
    for kg in (0.1, 0.5, 2, 5):
        history = tools.run_case(ice_about_cans(kg))
        time, ours = history["time"], probe(history, "drinks")
        melted = history["coolant/liquid_fraction"][:, 0]
        theirs = cans_apart(kg, time, melted, probe(history, "ice"), probe(history, "air"))
        rows.append(Row(f"{kg} kg about two cans: cans, farthest apart", 0, float(np.abs(ours - theirs).max()),
                        "absolute", 0.3, "K"))
        curves.append((kg, time / 3600, ours, theirs))
    return rows, curves


def ice_line(kept, detail):
    return f"""
title: ice in a box
box: {{inside: {{length: 50 cm, width: 30 cm, height: 30 cm}}, wall: [{{material: pu_foam, thickness: 35 mm}}]}}
coolant: [{{name: ice, material: water_ice, amount: 8 kg, form: loose, start: 0 degC,
  melt_water: {"kept" if kept else "drained"}}}]
surroundings: {{air: 28 degC}}
run: {{duration: 60 h, detail: {detail}}}
"""


def line_rows(tools):
    rows = []
    for detail in DETAILS:
        for kept in (True, False):
            history = tools.run_case(ice_line(kept, detail))
            f = history["coolant/liquid_fraction"][:, 0]
            seen = (f > 0.02) & (f < 0.9)
            r = float(np.corrcoef(history["time"][seen], 1 - f[seen])[0, 1])
            rows.append(Row(f"{detail}: ice line of a box, water {'kept' if kept else 'drained'}: r", (-1.001, -0.999), r,
                            "range"))
    return rows


def packed(place, masses, detail, inside="length: 45 cm, width: 28 cm"):
    coolants = "".join(f"  - {{name: p{i}, material: gel_pack, form: pack, thickness: 22 mm, place: {place}, "
                       f"amount: {kg} kg, start: -12 degC}}\n" for i, kg in enumerate(masses))
    return f"""
title: packed
box:
  inside: {{{inside}, height: 25 cm}}
  wall: [{{material: hdpe, thickness: 2 mm}}, {{material: xps, thickness: 3 cm}}]
coolant:
{coolants}payload: [{{name: drinks, contents: cola, start: 6 degC,
  cans: {{count: 8, volume: 0.33 L, diameter: 66 mm, height: 115 mm}}}}]
surroundings: {{air: 27 degC}}
limits: [{{name: cold, probe: drinks, not_above: 9 degC}}]
run: {{duration: 40 h, detail: {detail}, accuracy: 0.2 K}}
"""


def answers(history):
    return np.array([history["limits/hold_time"][0], history["coolant/spent_at"][0]])


def entry_rows(tools):
    halves, turned = 0.0, 0.0
    for detail in DETAILS:
        for place in ("floor", "lid", "sides"):
            one = answers(tools.run_case(packed(place, (1.2,), detail)))
            two = answers(tools.run_case(packed(place, (0.7, 0.5), detail)))
            other = answers(tools.run_case(packed(place, (1.2,), detail, "length: 28 cm, width: 45 cm")))
            halves = max(halves, float(np.abs(two / one - 1).max()))
            turned = max(turned, float(np.abs(other / one - 1).max()))
    return [Row("one entry as two: hold time and melt-out, largest change", 0, 100 * halves, "absolute", 0.1, "%"),
            Row("length and width exchanged: hold time and melt-out, largest change", 0, turned, "absolute", 1e-9)]


def run(tools):
    about, curves = ice_rows(tools)
    rows = fish_rows(tools) + can_rows(tools) + about + line_rows(tools) + entry_rows(tools)

    def draw(ax):
        for kg, hours, ours, theirs in curves:
            line, = ax.plot(hours, ours, lw=1, label=f"{kg} kg")
            ax.plot(hours[::20], theirs[::20], "o", ms=3, color=line.get_color())
        ax.set(xlabel="time / h", ylabel="cans / °C", title="Ice about two cans; dots: worked out apart")
        ax.legend()
    return Outcome(rows, draw)
