"""15. A whole box with loose ice and cans, written a second time."""

import numpy as np
import yaml
from iapws import IAPWS95
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from .support import CASES, MATERIALS, ZERO, Line, Outcome, Row

NAME = "A whole box, written independently"
SOURCE = ("none published: the equations of solver/EQUATIONS.md written again in Python, integrated by "
          "scipy's BDF at relative tolerance 1e-7; no code shared")
INPUTS = ("validation/cases/loose-ice.yaml: 5 kg of ice about 12 cans, foam wall, gasket, daily wave, "
          "wind; sizes, masses, coefficients from the resolved case in the history and the lengths from "
          "its text; materials from cases/materials; air by Lemmon's table")
BAR = "0.05 K at every output; instants 0.2 %"
WHY = "The case asks an accuracy of 0.02 K; the walls' grids differ (nodes on faces against cells)."
QUICK = True
SECOND = "EQUATIONS.md written a second time in Python and scipy; none published"
LINES = [Line("conductance of the walls", "conductance", SECOND, "The same closed form."),
         Line("temperatures of ice, air and drinks over 72 h", "worst",
              SECOND, "The walls' grids differ: nodes on faces against cells."),
         Line("ice all liquid, drinks too warm: instants", "liquid|past", SECOND,
              "Five minutes in two days.")]

SIGMA = 5.670374419e-8
# W/m2/K of cans in iced water (Cengel & Ghajar, Heat and Mass Transfer, ch. 4); J/K of all cans' walls, which
# hold next to nothing.
CANS_WET, CAN_HEAT = 120, 2.0
EDGE, CORNER = 1 - 2 * np.log(2) / np.pi, 0.15
# Dry air at 101.325 kPa (Lemmon 2000; Lemmon & Jacobsen 2004): degC, k, nu, alpha, Pr, beta.
AIR = np.array([[-20, .0228117, 1.160842e-5, 1.625495e-5, .714147, 3.967726e-3],
                [0, .0243605, 1.331596e-5, 1.873284e-5, .710835, 3.673961e-3],
                [10, .0251214, 1.420378e-5, 2.002384e-5, .709344, 3.542931e-3],
                [20, .0258738, 1.511378e-5, 2.134847e-5, .707956, 3.420988e-3],
                [30, .0266180, 1.604555e-5, 2.270590e-5, .706669, 3.307212e-3],
                [40, .0273543, 1.699875e-5, 2.409532e-5, .705479, 3.200804e-3]])


def film(kind, length, warm, cold):
    """W/m2/K of an upright plate, or of a level one with the air lying stable."""
    c = min(max((warm + cold) / 2 - ZERO, -20), 40)
    k, nu, alpha, pr, beta = (np.interp(c, AIR[:, 0], AIR[:, i]) for i in range(1, 6))
    ra = 9.80665 * beta * abs(warm - cold) * length**3 / nu / alpha
    if kind == "upright":
        return k / length * (0.825 + 0.387 * ra**(1 / 6) / (1 + (0.492 / pr)**(9 / 16))**(8 / 27))**2
    return k / length * max(1, 0.52 * ra**0.2 if kind == "stable" else 0.54 * ra**0.25)


def plate(kind, length, surface, air):
    """`kind` is "upright", "up" or "down", the way the surface faces."""
    if kind != "upright":
        kind = "unstable" if (surface > air) == (kind == "up") else "stable"
    return film(kind, length, surface, air)


def water_density(t):
    """kg/m3 at t degC; Kell, J. Chem. Eng. Data 20 (1975) 97, from memory; 0...60 degC."""
    return (999.83952 + 16.945176 * t - 7.9870401e-3 * t**2 - 46.170461e-6 * t**3 + 105.56302e-9 * t**4
            - 280.54253e-12 * t**5) / (1 + 16.87985e-3 * t)


# Water (IAPWS-95, R12-08, R15-11): degC, k, nu, alpha.
WATER = np.array([[t, w.k, w.mu / w.rho, w.k / w.rho / (1e3 * w.cp)] for t in range(0, 42, 2)
                  for w in [IAPWS95(T=ZERO + max(t, 0.01), P=0.101325)]])


def film_in_can(height, diameter, wall, drink):
    """W/m2/K between the wall of a can and its drink."""
    a, b = wall - ZERO, drink - ZERO
    k, nu, alpha = (np.interp((a + b) / 2, WATER[:, 0], WATER[:, i]) for i in range(1, 4))
    densities = [water_density(t) for t in (a, b)]
    if min(a, b) < 3.98 < max(a, b):
        densities.append(water_density(3.98))
    ra = 9.80665 * (max(densities) - min(densities)) / 999.97 * height**3 / nu / alpha
    turning = k / height * 0.670 * ra**0.25 / (1 + (0.492 * alpha / nu)**(9 / 16))**(4 / 9)
    return (turning**4 + (2.4048**2 * k / diameter)**4)**0.25


def leading(text):
    return float(str(text).split()[0])


def ice_curve():
    """Enthalpy (J/kg, solid at 0 degC is 0) against temperature (degC) as two arrays."""
    with open(MATERIALS / "coolants.yaml") as file:
        ice = yaml.safe_load(file)["water_ice"]
    def capacity(phase, t):
        rows = ice["heat_capacity"][phase]["table"]
        return np.interp(t, [leading(r[0]) for r in rows], [1e3 * leading(r[1]) for r in rows])
    cold, warm = np.linspace(-40, 0, 4001), np.linspace(0, 60, 6001)
    def integral(t, c):
        return np.concatenate([[0], np.cumsum(np.diff(t) * (c[1:] + c[:-1]) / 2)])
    below = integral(cold, capacity("solid", cold))
    latent = 1e3 * leading(ice["melting"]["latent_heat"]["value"])
    h = np.concatenate([below - below[-1], latent + integral(warm, capacity("liquid", warm))])
    return h, np.concatenate([cold, warm]), ice["emissivity"]["value"], latent


def wall_properties(name):
    for file in ("skins.yaml", "insulation.yaml"):
        with open(MATERIALS / file) as stream:
            found = yaml.safe_load(stream).get(name)
        if found:
            return [leading(found[p]["value"]) for p in ("conductivity", "density", "heat_capacity")]
    raise KeyError(name)


class Wall:
    """Nodes on the faces and interfaces of layers and between; area A + b y."""

    def __init__(self, layers, area, slope):
        y, conduct, heat = [0.0], [], [0.0]
        for layer in layers:
            k, rho, c = wall_properties(layer["material"])
            d = layer["thickness_m"]
            for a, b in zip(*(lambda e: (e[:-1], e[1:]))(np.linspace(0, d, 41 if d > 0.01 else 4) + y[-1])):
                conduct.append(k * slope / np.log((area + slope * b) / (area + slope * a)))
                half = (b - a) / 2
                heat[-1] += rho * c * half * (area + slope * (a + half / 2))
                heat.append(rho * c * half * (area + slope * (b - half / 2)))
                y.append(b)
        self.y, self.conduct, self.heat = np.array(y), np.array(conduct), np.array(heat)
        self.area, self.outer_area = area, area + slope * y[-1]

    def flows(self, t):
        q = self.conduct * np.diff(t)
        rate = np.zeros_like(t)
        rate[:-1] += q
        rate[1:] -= q
        return rate


class Bed:
    """Loose ice whose water is kept, with cans standing in it: level and what is below it."""

    def __init__(self, ice, cans, floor, height, ice_density, water_density):
        self.floor, self.height = floor, height
        self.pieces = ice["mass_kg"] / ice_density
        self.water = ice["mass_kg"] / water_density
        volume = cans["count"] * np.pi / 4 * cans["diameter"]**2 * cans["height"]
        in_layer = np.clip(np.floor(floor / cans["diameter"]**2), 1, cans["count"])
        self.footprint = max(in_layer * np.pi / 4 * cans["diameter"]**2, volume / height)
        self.stack = volume / self.footprint
        self.low, self.high = self.level(1), self.level(0)
        self.edges = self.low + (self.high - self.low) * np.arange(7) / 6

    def level(self, f):
        pieces = self.pieces * (1 - f)
        volume = max(pieces / 0.6, pieces + self.water * f)
        beside = (self.floor - self.footprint) * self.stack
        if volume <= beside:
            return volume / (self.floor - self.footprint)
        return min(self.stack + (volume - beside) / self.floor, self.height)

    def wetness(self, f, wet):
        return (25 + (wet - 25) * min(1, f / 0.02)) / wet

    def floor_share(self, f):
        return min(1, (self.level(f) / 0.02)**(2 / 3) + self.water * f / self.floor / 0.001)

    def band(self, i, f):
        """Shares of one of six bands that touch the bed and the air."""
        low, high = self.edges[i], self.edges[i + 1]
        share = np.clip((self.level(f) - (0.75 * low + 0.25 * high)) / (0.5 * (high - low)), 0, 1)
        return share, max(0, 1 - share / 0.03)


class Box:
    def __init__(self, resolved, text):
        inside = text["box"]["inside"]
        l, w, self.h = (leading(inside[k]) / 100 for k in ("length", "width", "height"))
        floor, around = l * w, 2 * (l + w)
        ice, drinks = resolved["coolant"][0], resolved["payload"][0]
        layers = resolved["box"]["sides"]
        t = sum(x["thickness_m"] for x in layers)
        excess = {"base": around * EDGE / 2 + 4 * CORNER * t / 3,
                  "sides": around * EDGE + 4 * self.h * EDGE + 16 * CORNER * t / 3}
        excess["lid"] = excess["base"]
        area = {"base": floor, "lid": floor, "sides": around * self.h}
        # b with 1/∫dy/(A + b y) = A/t + excess
        slope = {n: brentq(lambda b: b / np.log1p(b * t / area[n]) - area[n] / t - excess[n], 1e-9, 1e3)
                 for n in area}
        can = text["payload"][0]["cans"]
        with open(MATERIALS / "coolants.yaml") as file:
            density = yaml.safe_load(file)["water_ice"]
        self.bed = Bed(ice, {"count": can["count"], "diameter": leading(can["diameter"]) / 1000,
                             "height": leading(can["height"]) / 1000}, floor, self.h,
                       leading(density["density"]["value"]), leading(density["density_liquid"]["value"]))
        part = {"base wet": ("base", 1), "sides wet": ("sides", self.bed.low / self.h),
                "sides dry": ("sides", 1 - self.bed.high / self.h), "lid dry": ("lid", 1)}
        for i in range(6):
            part[f"sides {i}"] = ("sides", (self.bed.edges[i + 1] - self.bed.edges[i]) / self.h)
        self.walls = {n: Wall(layers, s * area[f], s * slope[f]) for n, (f, s) in part.items()}
        self.conductance = 0.0
        for n in area:
            y = np.cumsum([0] + [x["thickness_m"] for x in layers])
            r = sum(np.log((area[n] + slope[n] * b) / (area[n] + slope[n] * a)) / slope[n]
                    / x["conductivity_283K_W_m_K"] for a, b, x in zip(y, y[1:], layers))
            self.conductance += 1 / r
        self.curve = ice_curve()
        self.floor, self.level = floor, floor / around
        self.ice_mass, self.contact = ice["mass_kg"], ice["contact_W_m2_K"]
        self.drink_heat = drinks["mass_kg"] * leading(
            text["materials"]["test_drink"]["heat_capacity"]["value"])
        self.can_surface = drinks["surface_m2"]
        self.can_height = leading(can["height"]) / 1000
        self.can_diameter = np.sqrt(4 / np.pi * 1e-3 * leading(can["volume"]) / self.can_height)
        self.leak = leading(text["box"]["gasket_leak"])
        self.air_heat = 1.25 * 1006 * resolved["box"]["free_air_m3"]
        self.around = resolved["surroundings"]
        start_air = drinks["start_K"]
        h_ice = self.ice_mass * np.interp(ice["start_K"] - ZERO, self.curve[1], self.curve[0])
        walls = [start_air + w.y / t * (self.ambient(0) - start_air) for w in self.walls.values()]
        self.start = np.concatenate([[h_ice / 1e3, start_air, drinks["start_K"], drinks["start_K"]], *walls])
        self.places = np.cumsum([4] + [len(w) for w in walls])

    def ambient(self, time):
        a = self.around["air"]
        return a["mean_K"] + a["swing_K"] * np.cos(2 * np.pi * (time - a["warmest_at_s"]) / 86400)

    def ice_temperature(self, h_kj):
        return ZERO + np.interp(1e3 * h_kj / self.ice_mass, self.curve[0], self.curve[1])

    def rates(self, time, y):
        bath, air, drink, can = self.ice_temperature(y[0]), *y[1:4]
        out, ground = self.ambient(time), self.ambient(time)
        walls = {n: y[a:b] for n, a, b in zip(self.walls, self.places, self.places[1:])}
        f = min(max(1e3 * y[0] / self.ice_mass / self.curve[3], 0), 1)
        level, wetness = self.bed.level(f), self.bed.wetness(f, self.contact)
        shares = {}
        for name in walls:
            if name.endswith("dry"):
                shares[name] = (0, 1)
            elif name == "base wet":
                shares[name] = (self.bed.floor_share(f), 1 - self.bed.floor_share(f))
            elif name == "sides wet":
                shares[name] = (1, 0)
            else:
                shares[name] = self.bed.band(int(name[-1]), f)
        top = self.floor * self.bed.floor_share(f)
        if level < self.bed.stack:
            top *= 1 - self.bed.footprint / self.floor
        standing = min(level / self.bed.stack, 1)
        bare_cans = (1 - standing) * self.can_surface
        glowing = [(self.curve[2] * top, bath), (0.9 * bare_cans, can)] + [
            (0.9 * shares[n][1] * self.walls[n].area, t[0]) for n, t in walls.items()]
        radiant = sum(e * t**4 for e, t in glowing) / sum(e for e, _ in glowing)
        q = top * plate("up", self.level, bath, air) * (air - bath)
        to_air = -q + self.leak * (out - air)
        to_bath = q + self.curve[2] * top * SIGMA * (radiant - bath**4)
        q = self.can_surface * standing * self.bed.wetness(f, CANS_WET) * CANS_WET * (bath - can)
        to_bath -= q
        to_can = q
        q = bare_cans * plate("upright", self.can_height, can, air) * (air - can)
        to_air -= q
        to_can += q + 0.9 * bare_cans * SIGMA * (radiant - can**4)
        to_drink = (self.can_surface * film_in_can(self.can_height, self.can_diameter, can, drink)
                    * (can - drink))
        to_can -= to_drink
        rates = [None, None, None, None]
        for name, t in walls.items():
            wall = self.walls[name]
            rate = wall.flows(t)
            touching, bare = shares[name]
            q = wall.area * touching * wetness * self.contact * (bath - t[0])
            to_bath -= q
            rate[0] += q
            if bare > 0:
                kind = {"s": "upright", "l": "down", "b": "up"}[name[0]]
                length = self.h if kind == "upright" else self.level
                q = wall.area * bare * plate(kind, length, t[0], air) * (air - t[0])
                to_air -= q
                rate[0] += q + 0.9 * wall.area * bare * SIGMA * (radiant - t[0]**4)
            if name.startswith("base"):
                rate[-1] += wall.outer_area * self.around["base_coefficient_W_m2_K"] * (ground - t[-1])
            else:
                rate[-1] += wall.outer_area * (self.around["outside_coefficient_W_m2_K"] * (out - t[-1])
                                               + 0.9 * SIGMA * (out**4 - t[-1]**4))
            rates.append(rate / wall.heat)
        rates[:4] = [[to_bath / 1e3], [to_air / self.air_heat], [to_drink / self.drink_heat],
                     [to_can / CAN_HEAT]]
        return np.concatenate(rates)


def run(tools):
    # Foam alone: with skins the edges are those of layers, which this solution knows nothing of.
    text = (CASES / "loose-ice.yaml").read_text().replace("    - {material: hdpe, thickness: 2 mm}\n", "")
    history = tools.run_case(text)
    box = Box(history["resolved"], yaml.safe_load(text))
    time = history["time"]
    spent = history["coolant/spent_at"][0]
    def melted(t, y):
        return 1e3 * y[0] / box.ice_mass - box.curve[3]
    def warm(t, y):
        return y[2] - ZERO - 8
    warm.direction = melted.direction = 1
    answer = solve_ivp(box.rates, (0, time[-1]), box.start, "BDF", t_eval=np.minimum(time, time[-1]),
                       rtol=1e-7, atol=1e-6, events=(melted, warm), max_step=1800)
    probes = dict(zip(history["probes/names"], history["probes/temperature"].T))
    theirs = {"ice": box.ice_temperature(answer.y[0]), "air": answer.y[1], "drinks": answer.y[2]}
    stated = sum(sum(p.values()) for p in history["resolved"]["conductance_W_K"].values())
    rows = [Row("conductance of the walls", box.conductance, stated, "relative", 1e-6, "W/K")]
    for name, t in theirs.items():
        worst = int(np.argmax(np.abs(t - probes[name])))
        rows.append(Row(f"{name}, worst of {len(time)} outputs, at {time[worst] / 3600:.1f} h",
                        float(t[worst] - ZERO), float(probes[name][worst] - ZERO), "absolute", 0.05, "degC"))
    rows.append(Row("ice all liquid", answer.t_events[0][0] / 3600, float(spent) / 3600, "relative", 2e-3, "h"))
    rows.append(Row("drinks past 8 degC", answer.t_events[1][-1] / 3600,
                    float(history["limits/end_time"][0]) / 3600, "relative", 2e-3, "h"))

    def draw(ax):
        for name, t in theirs.items():
            line, = ax.plot(time / 3600, t - ZERO, lw=1, label=name)
            ax.plot(time[::8] / 3600, probes[name][::8] - ZERO, "o", ms=3, color=line.get_color())
        ax.set(xlabel="time / h", ylabel="temperature / °C", title="5 kg of ice about 12 cans: lines independent, dots ours")
        ax.legend()
    return Outcome(rows, draw)
