"""The picture of how combinations differ over the samples they share."""

from __future__ import annotations

import numpy as np
from matplotlib.axes import Axes

import look
from grouping import changing
from table import Held, Pair, Table

MOST_PAIRS = 24


def suits(table: Table) -> bool:
    """Whether any combinations were paired."""
    return any(pair.samples > 0 for pairs in table.pairs for pair in pairs)


def draw(table: Table, figure, wanted: list[str]) -> None:
    """Draw, pair by pair, P10 to P90 of the difference of hold times (h), a panel a limit."""
    del wanted
    look.heading(figure, "Differences over the same samples: line from P10 to P90, dot P50")
    panels = figure.subplots(1, len(table.limits), squeeze=False)[0]
    for axes, limit, pairs in zip(panels, table.limits, table.pairs):
        _draw_panel(axes, table, limit, pairs[:MOST_PAIRS])


def _draw_panel(axes: Axes, table: Table, limit: Held, pairs: tuple[Pair, ...]) -> None:
    names = []
    for place, pair in enumerate(pairs):
        low, middle, high = pair.difference
        names.append(f"{look.wrapped(_label(table, pair.first))}\n"
                     f"less {look.wrapped(_label(table, pair.second))}")
        axes.hlines(place, low, high, color=look.colour(0), linewidth=5)
        axes.plot(middle, place, "o", color=look.INK, markersize=7)
        beside = high if np.isfinite(high) else 0.0
        axes.annotate(f"longer in {pair.longer} of {pair.samples}", xy=(beside, place),
                      xytext=(10, 0), textcoords="offset points", va="center", fontsize=look.SMALL)
    axes.axvline(0, color=look.INK, linewidth=1.2)
    axes.set_yticks(np.arange(len(names)), names)
    axes.set_ylim(len(names) - 0.4, -0.6)
    axes.margins(x=0.35)
    axes.set_title(limit.title)
    axes.set_xlabel("Difference of hold time (h)")
    axes.grid(axis="y", visible=False)


def _label(table: Table, combination: int) -> str:
    case = table.firsts[combination]
    return ", ".join(f"{column.name} {column.text(case)}" if column.is_number
                     else column.text(case) for column in changing(table)) or "all"
