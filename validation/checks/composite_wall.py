"""3. A layered wall, steady and under a periodic temperature outside."""

import numpy as np

from .support import ZERO, Line, Outcome, Row, column, even, material

NAME = "Composite wall: steady and periodic"
SOURCE = ("ISO 6946:2017 (resistances in series) and ISO 13786:2017 (matrix method), from memory; the "
          "matrix is computed here")
INPUTS = ("HDPE 2 mm / foam 40 mm / HDPE 2 mm between films 0.13 and 0.04 m2K/W, and 200 mm concrete; "
          "periods 24 h and 1 h, amplitude 10 K outside, 0 degC inside")
BAR = "steady flux 1e-8; share of the wave let through (decrement factor) 0.1 %; lag 0.1 % of the period"
WHY = ("A steady wall is exact on the grid. A damped wave a thousandth off moves a daily swing of 10 K "
       "by 0.01 K.")
QUICK = True
LINES = [Line("layered wall, steady", "steady", "ISO 6946:2017, resistances in series (from memory)",
              "A steady wall is exact on the grid."),
         Line("layered wall, daily and hourly wave: how much comes through", "share let",
              "ISO 13786:2017, matrix method (from memory)", "0.01 K of a daily swing of 10 K."),
         Line("layered wall, daily and hourly wave: how late", "lag", "ISO 13786:2017, matrix method (from memory)",
              "One thousandth of the period.")]

SKIN = (0.48, 955.0, 1900.0)
RSI, RSE = 0.13, 0.04


def foam(k):
    return (k, 35.0, 1400.0)


def layers_json(layers, cells):
    out, x = [], 0.0
    for (k, rho, c), d in layers:
        n = max(2, int(round(cells * d / sum(t for _, t in layers))))
        out.append({"material": material(k, rho, c), "edges": even(x, x + d, n)})
        x += d
    return out


def matrix(layers, period):
    """Transfer matrix from the inside air to the outside air."""
    z = np.array([[1, -RSI], [0, 1]], complex)
    for (k, rho, c), d in layers:
        depth = np.sqrt(k * period / (np.pi * rho * c))
        xi = (1 + 1j) * d / depth
        z = np.array([[np.cosh(xi), -np.sinh(xi) * d / (k * xi)],
                      [-k * xi / d * np.sinh(xi), np.cosh(xi)]]) @ z
    return np.array([[1, -RSE], [0, 1]]) @ z


def steady_rows(tools):
    layers = [(SKIN, 0.002), (foam(0.023), 0.04), (SKIN, 0.002)]
    job = column("plane", layers_json(layers, 44), ZERO + 10, {"to": "ground", "conductance": 1 / RSI},
                 {"to": "air", "conductance": 1 / RSE}, [60 * 86400.0], air={"constant": ZERO + 30},
                 accuracy=1e-6)
    shot = tools.columns([job])[0]["shots"][0]
    resistance = RSI + RSE + sum(d / k for (k, _, _), d in layers)
    return [Row("steady flux", 30 / resistance, shot["power"][1], "relative", 1e-8, "W/m2"),
            Row("steady inner face", 30 / resistance * RSI, shot["surface"][0] - ZERO, "absolute", 1e-6,
                "degC")]


def run(tools):
    walls = {"foam wall, 24 h": ([(SKIN, 0.002), (foam(0.025), 0.04), (SKIN, 0.002)], 86400.0),
             "foam wall, 1 h": ([(SKIN, 0.002), (foam(0.025), 0.04), (SKIN, 0.002)], 3600.0),
             "concrete, 24 h": ([((1.8, 2400.0, 1000.0), 0.2)], 86400.0)}
    rows = steady_rows(tools)
    waves = {}
    for name, (layers, period) in walls.items():
        settle = 12
        per = 720
        time = np.arange(0, (settle + 1) * per + 1) * period / per
        air = ZERO + 10 * np.cos(2 * np.pi * time / period)
        looks = time[settle * per::6][1:]
        job = column("plane", layers_json(layers, 110), ZERO, {"to": "ground", "conductance": 1 / RSI},
                     {"to": "air", "conductance": 1 / RSE}, looks,
                     air={"time": list(time), "temperature": list(air)}, accuracy=2e-4)
        shots = tools.columns([job])[0]["shots"]
        t = np.array([s["time"] for s in shots])
        into_inside = -np.array([s["power"][0] for s in shots])
        response = 2 * np.mean(into_inside * np.exp(-2j * np.pi * t / period)) / 10
        resistance = RSI + RSE + sum(d / k for (k, _, _), d in layers)
        y12 = 1 / matrix(layers, period)[0, 1]
        exact = -y12  # heat into the inside per kelvin outside
        def lag(value):
            return (-np.angle(value) % (2 * np.pi)) / (2 * np.pi) * period / 3600
        rows.append(Row(f"{name}, share let through", float(abs(exact) * resistance),
                        float(abs(response) * resistance), "relative", 1e-3))
        rows.append(Row(f"{name}, lag", float(lag(exact)), float(lag(response)), "absolute",
                        1e-3 * period / 3600, "h"))
        waves[name] = (t - t[0], into_inside, exact, period)

    def draw(ax):
        for name, (t, flux, exact, period) in waves.items():
            phase = t / period
            wave = 10 * (exact * np.exp(2j * np.pi * (t + period / 120) / period)).real
            line, = ax.plot(phase, wave, lw=1, label=name)
            ax.plot(phase[::5], flux[::5], "o", ms=3, color=line.get_color())
        ax.set(xlabel="time / period", ylabel="heat into the inside / W/m²",
               title="After 12 periods: lines matrix method, dots ours")
        ax.legend(fontsize=8)
    return Outcome(rows, draw)
