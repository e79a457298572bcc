"""A corner of water that freezes from two walls, by the plainest enthalpy scheme: explicit, no front
inside cells, each cell conducting by the phases it holds. Of first order; to be extrapolated."""

import numpy as np


def frozen_share(m, side, cells, wall, start, until):
    """Share of a square (side m, its low sides at `wall`, the others insulated, K over the melting
    point) that is frozen after `until` s. `m`: a material of support.py."""
    width = side / cells
    step = 0.2 * width**2 / (m["k"] / m["rho"] / m["c"])
    count = int(round(until / step))
    per = until / count / (m["rho"] * width)
    heat = np.full((cells, cells), m["latent"] + m["c_liquid"] * start)
    for _ in range(count):
        t = np.where(heat < 0, heat / m["c"], np.maximum(0, (heat - m["latent"]) / m["c_liquid"]))
        liquid = np.clip(heat / m["latent"], 0, 1)
        half = width / 2 * ((1 - liquid) / m["k"] + liquid / m["k_liquid"])
        change = np.zeros_like(heat)
        for axis in (0, 1):
            u, r, c = (np.moveaxis(v, axis, 0) for v in (t, half, change))
            flow = (u[1:] - u[:-1]) / (r[1:] + r[:-1])
            c[:-1] += flow
            c[1:] -= flow
            c[0] += (wall - u[0]) / r[0]
        heat += per * change
    return 1 - float(np.mean(np.clip(heat / m["latent"], 0, 1)))
