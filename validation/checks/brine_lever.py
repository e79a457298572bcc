"""13. Brine between its eutectic point and its liquidus."""

import numpy as np

from .support import ZERO, Line, Outcome, Row

NAME = "Brine by the lever rule"
SOURCE = ("lever rule on a phase diagram (any text of physical chemistry); liquidus of NaCl-water from "
          "memory (-21.1 degC at 23.3 %); energy computed here")
INPUTS = ("5, 10 and 20 % salt; eutectic latent heat 230, of ice 333.4 kJ/kg; c 3500 J/kg/K in both phases; "
          "liquidus in five straight pieces")
BAR = "liquid fraction 0.002; heat of melting 1e-9; enthalpy half-way 0.2 %"
WHY = ("Between its 48 support points the curve is straight, and the lever rule is not: the fraction may "
       "differ by a few ten-thousandths. Energy must be exact.")
QUICK = True
LEVER = "lever rule, any text of physical chemistry; NaCl-water from memory"
LINES = [Line("liquid fraction of three brines", "fraction", LEVER, "The curve is straight between 48 points, "
              "the lever rule is not."),
         Line("heat of melting of three brines", "heat of melting", LEVER, "Energy must be exact."),
         Line("enthalpy half-way", "enthalpy", LEVER, "As for the liquid fraction.")]

LIQUIDUS = [(0, 273.15), (0.05, 270.1), (0.10, 266.59), (0.15, 262.3), (0.20, 256.7), (0.233, 252.05)]
EUTECTIC, E_SALT, E_LATENT, ICE, C = 252.05, 0.233, 230e3, 333.4e3, 3500.0


def salt_at(t):
    s = np.array([x[0] for x in LIQUIDUS])
    k = np.array([x[1] for x in LIQUIDUS])
    return np.interp(-t, -k, s)


def run(tools):
    salts = (0.05, 0.10, 0.20)
    asked, tops = [], []
    for w in salts:
        top = float(np.interp(w, *zip(*LIQUIDUS)))
        tops.append(top)
        asked.append({"composition": w, "eutectic_point": EUTECTIC, "eutectic_composition": E_SALT,
                      "eutectic_latent_heat": E_LATENT, "latent_heat": ICE, "capacity": C,
                      "liquidus": LIQUIDUS, "temperatures":
                      list(np.linspace(EUTECTIC + 0.2, top - 0.05, 12))})
    rows, seen = [], []
    for w, top, question, ours in zip(salts, tops, asked, tools.laws(levers=asked)["levers"]):
        fraction = [w / salt_at(t) for t in question["temperatures"]]
        worst = int(np.argmax(np.abs(np.array(fraction) - ours["fraction"])))
        rows.append(Row(f"{100 * w:g} % salt, fraction at {question['temperatures'][worst] - ZERO:.2f} degC "
                        "(worst)", float(fraction[worst]), ours["fraction"][worst], "absolute", 2e-3))
        eutectic = w / E_SALT
        rows.append(Row(f"{100 * w:g} % salt, heat of melting",
                        (eutectic * E_LATENT + (1 - eutectic) * ICE + C * (top - EUTECTIC)) / 1e3,
                        ours["melting_enthalpy"] / 1e3, "relative", 1e-9, "kJ/kg"))
        # Enthalpy counts from the solid at the eutectic point: what melts there, then the lever.
        t = question["temperatures"][5]
        rows.append(Row(f"{100 * w:g} % salt, enthalpy at {t - ZERO:.2f} degC",
                        float(eutectic * E_LATENT + (w / salt_at(t) - eutectic) * ICE
                              + C * (t - EUTECTIC)) / 1e3,
                        ours["enthalpy"][5] / 1e3, "relative", 2e-3, "kJ/kg"))
        seen.append((w, question["temperatures"], fraction, ours["fraction"]))

    def draw(ax):
        for w, t, exact, ours in seen:
            line, = ax.plot(np.array(t) - ZERO, exact, lw=1, label=f"{100 * w:g} % salt")
            ax.plot(np.array(t) - ZERO, ours, "o", ms=4, color=line.get_color())
        ax.set(xlabel="temperature / °C", ylabel="liquid fraction", title="Melting brine: lines lever rule, dots ours")
        ax.legend()
    return Outcome(rows, draw)
