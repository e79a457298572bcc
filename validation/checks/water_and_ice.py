"""12. Properties of water and ice."""

import numpy as np

from .support import ZERO, Line, Outcome, Row

NAME = "Water and ice"
SOURCE = ("IAPWS R10-06(2009) for ice, IAPWS-95 for water, IAPWS 2011 for its conductivity, by the "
          "independent Python package iapws, 101.325 kPa")
INPUTS = "the material water_ice of cases/materials, -20 to 30 degC"
BAR = ("enthalpy and latent heat 0.1 % of the latent heat; heat capacity 0.5 %; density and conductivity "
       "0.5 %; growth on freezing 0.05 points")
WHY = "A coolant's heat to a thousandth is a thousandth of the hold time; tables stand 5 to 10 K apart."
QUICK = True
LINES = [Line("latent heat and enthalpy", "latent|enthalpy", "IAPWS R10-06(2009), IAPWS-95",
              "A coolant's heat to a thousandth is a thousandth of the hold time."),
         Line("growth of water on freezing, about 9 %", "growth", "IAPWS R10-06(2009), IAPWS-95",
              "The density of ice is kept as 917 kg/m3, three digits."),
         Line("densities", "density", "IAPWS R10-06(2009), IAPWS-95", "Volumes decide what fits."),
         Line("heat capacity", "heat capacity", "IAPWS R10-06(2009), IAPWS-95",
              "Tables stand 5 to 10 K apart."),
         Line("conductivity of water", "conductivity", "IAPWS 2011", "Tables stand 5 to 10 K apart.")]
NOTE = ("The growth of 9.07 % belongs to the densities at the melting point. The material's density of "
        "the solid is rounded to 917 kg/m3, which makes it 9.03 %.")


def reference(celsius, pressure=0.101325):
    from iapws import IAPWS95
    from iapws._iapws import _Ice
    kelvin = celsius + ZERO
    if celsius < 0:
        ice = _Ice(kelvin, pressure)
        return {"rho": ice["rho"], "cp": 1e3 * ice["cp"], "h": 1e3 * ice["h"], "k": None}
    water = IAPWS95(T=kelvin, P=pressure)
    return {"rho": water.rho, "cp": 1e3 * water.cp, "h": 1e3 * water.h, "k": water.k}


def run(tools):
    cold, warm = [-20, -15, -10, -5, -0.01], [0.01, 5, 10, 15, 20, 25, 30]
    all_t = cold + warm
    ours = tools.laws(curves=[{"material": "water_ice", "temperatures": [t + ZERO for t in all_t]}])
    ours = ours["curves"][0]
    ref = [reference(t) for t in all_t]
    latent = reference(0.01)["h"] - reference(-0.01)["h"] - 0.01 * (2097 + 4219)
    zero = reference(-0.01)["h"] + 0.01 * 2097
    rows = [Row("latent heat", latent / 1e3, ours["melting_enthalpy"] / 1e3, "relative", 1e-3, "kJ/kg"),
            Row("growth on freezing", 100 * (reference(0.01)["rho"] / reference(-0.01)["rho"] - 1),
                100 * (ours["density_liquid"] / ours["density"] - 1), "absolute", 0.05, "%"),
            Row("density of ice", reference(-0.01)["rho"], ours["density"], "relative", 5e-3, "kg/m3"),
            Row("density of water", reference(0.01)["rho"], ours["density_liquid"], "relative", 5e-3, "kg/m3")]
    for i, (t, r) in enumerate(zip(all_t, ref)):
        rows.append(Row(f"enthalpy over ice at 0 degC, {t:g} degC", (r["h"] - zero) / 1e3,
                        ours["enthalpy"][i] / 1e3, "absolute", 0.3334, "kJ/kg"))
        phase = "solid" if t < 0 else "liquid"
        rows.append(Row(f"heat capacity, {t:g} degC", r["cp"], ours["capacity_" + phase][i], "relative",
                        5e-3, "J/kg/K"))
        if r["k"]:
            rows.append(Row(f"conductivity, {t:g} degC", r["k"], ours["conductivity_liquid"][i],
                            "relative", 5e-3, "W/m/K"))

    def draw(ax):
        ax.plot(all_t, [(r["h"] - zero) / 1e3 for r in ref], "-", label="IAPWS")
        ax.plot(all_t, [h / 1e3 for h in ours["enthalpy"]], "o", ms=4, label="ours")
        ax.set(xlabel="temperature / °C", ylabel="enthalpy / kJ/kg", title="Water and ice; zero: ice at 0 °C")
        ax.legend()
    return Outcome(rows, draw)
