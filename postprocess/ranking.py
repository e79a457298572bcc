"""The picture of which inputs matter most."""

from __future__ import annotations

import numpy as np
from matplotlib.axes import Axes

import look
from grouping import groups
from table import Ranking, Table

MOST_PANELS = 3
MOST_INPUTS = 20


def suits(table: Table) -> bool:
    """Whether inputs were ranked."""
    return any(ranking is not None for ranking in table.rankings)


def draw(table: Table, figure, wanted: list[str]) -> None:
    """Draw first-order and total Sobol indices with their 95 % intervals, the largest on top.

    A panel for each combination and limit, up to three.
    """
    del wanted
    labels = {first: label for label, firsts in groups(table, []) for first in firsts}
    panels = [(f"{limit.title}{': ' if labels[first] else ''}{labels[first]}", ranking, k)
              for k, first in enumerate(table.firsts)
              for limit, ranking in zip(table.limits, table.rankings)]
    shown = panels[:MOST_PANELS]
    more = f" ({len(panels) - len(shown)} more not drawn)" if len(panels) > len(shown) else ""
    look.heading(figure, f"What matters for the hold time{more}")
    drawn = figure.subplots(1, len(shown), squeeze=False)[0]
    for axes, (title, ranking, combination) in zip(drawn, shown):
        axes.set_title(look.shortened(title))
        _draw_panel(axes, ranking, combination)
    look.shared_legend(drawn)


def _draw_panel(axes: Axes, ranking: Ranking, combination: int) -> None:
    first, total = ranking.first_order[combination], ranking.total[combination]
    if np.isnan(total).any():
        axes.set_axis_off()
        axes.text(0.5, 0.5, "The hold time does not vary,\nor too many cases failed.", ha="center",
                  va="center", transform=axes.transAxes)
        return
    order = np.argsort(-total[:, 0])[:MOST_INPUTS]
    rows = np.arange(len(order))
    for offset, values, colour, hatch, label in (
            (-0.2, first, look.colour(0), "", "by itself\n(first order)"),
            (0.2, total, look.colour(5), "///", "with all it does\ntogether with others\n(total)")):
        value, low, high = values[order].T
        axes.barh(rows + offset, value, height=0.38, color=colour, hatch=hatch, edgecolor="white",
                  label=label)
        axes.hlines(rows + offset, low, high, color=look.INK, linewidth=1.4)
    axes.plot([], [], color=look.INK, linewidth=1.4, label="95 % interval")
    axes.axvline(0, color=look.INK, linewidth=0.8)
    axes.set_yticks(rows, [look.wrapped(ranking.inputs[i]) for i in order])
    axes.invert_yaxis()
    axes.grid(axis="y", visible=False)
    axes.set_xlabel("Share of the variance of the hold time")
