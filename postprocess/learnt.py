"""The picture of what a fit learnt: values with their intervals, and how they hang together."""

from __future__ import annotations

import numpy as np

import look
from trial import Trial

# Correlations below it are left to their colour.
WORTH_A_NUMBER = 0.2


def draw(trial: Trial, figure) -> None:
    """Left the 95 % intervals as shares of the values, right the correlations."""
    learnt = trial.learnt
    look.heading(figure, "What the records tell")
    left, right = figure.subplots(1, 2, width_ratios=(1.25, 1))
    count = len(learnt.names)
    rows = np.arange(count)
    for i in rows:
        low, value, high = learnt.low[i], learnt.value[i], learnt.high[i]
        colour = look.colour(0) if learnt.told[i] else look.FAINT
        # Half the width of the widest interval: rows of different units share one axis.
        scale = max(high - low, 1e-300)
        left.plot([(low - value) / scale, (high - value) / scale], [i, i], color=colour, linewidth=3)
        left.plot([0], [i], "o", color=colour)
        unit = {"degC": "°C", "1": ""}.get(learnt.units[i], learnt.units[i])
        words = f"{value:.4g} ({low:.4g} to {high:.4g}) {unit}" + \
            ("" if learnt.told[i] else ", not told")
        left.annotate(words, xy=(0, i), xytext=(0, 7), textcoords="offset points", ha="center",
                      fontsize=look.SMALL, color=colour)
    left.set_yticks(rows, [look.wrapped(name) for name in learnt.names])
    left.set_ylim(count - 0.4, -0.8)
    left.set_xlim(-1.1, 1.1)
    left.set_xticks([])
    left.set_xlabel("95 % interval around the value, each on its own scale")
    left.grid(False)
    image = right.imshow(learnt.correlation, vmin=-1, vmax=1, cmap="PuOr", aspect="auto")
    for i in rows:
        for k in rows:
            value = learnt.correlation[i, k]
            if i == k or abs(value) < WORTH_A_NUMBER:
                continue
            words = f"{value:.2f}".replace("0.", ".").replace("-", "\N{MINUS SIGN}")
            right.text(k, i, words, ha="center", va="center", fontsize=8.5,
                       color="white" if abs(value) > 0.7 else look.INK)
    right.set_yticks(rows, [""] * count)
    right.set_xticks(rows, [look.shortened(name) for name in learnt.names], rotation=35, ha="right")
    right.set_ylim(count - 0.5, -0.5)
    right.grid(False)
    right.set_title("Correlations: near ±1 only a combination is told")
    figure.colorbar(image, ax=right, shrink=0.8)
