"""The picture of coolants on equal terms: how long each holds."""

from __future__ import annotations

import numpy as np
from matplotlib.axes import Axes

import held
import look
from grouping import changing
from table import FAILED, NEVER_WITHIN, OUTLASTED, Held, Table


def suits(table: Table) -> bool:
    """Whether only coolants differ from combination to combination."""
    alone = all(column.role == "contender" for column in changing(table))
    return table.contender is not None and bool(table.limits) and alone and table.found is None


def draw(table: Table, figure, wanted: list[str]) -> None:
    """Draw a bar of hours held a coolant, its amount below its name, a panel a limit."""
    del wanted
    look.heading(figure, "Coolants on equal terms")
    panels = figure.subplots(1, len(table.limits), squeeze=False, sharey=True)[0]
    for axes, limit in zip(panels, table.limits):
        _draw_panel(axes, table, limit)
    names = [_named(table, first) for first in table.firsts]
    panels[0].set_yticks(np.arange(len(names)), names)
    panels[0].invert_yaxis()


def _named(table: Table, first: int) -> str:
    """The coolant and how much of it."""
    amounts = {column.name.removeprefix(table.contender.name + " "): column
               for column in table.by_role("amount")}
    said = [amounts[name].text(first) for name in ("mass", "volume") if name in amounts]
    rounded = [f"{float(word.split()[0]):.3g} {word.split()[1]}" for word in said]
    return f"{look.wrapped(table.contender.text(first))}\n{', '.join(rounded)}"


def _draw_panel(axes: Axes, table: Table, limit: Held) -> None:
    outcome, hours = held.quantiles(table, limit, table.firsts, 0.5)
    rows = np.arange(len(hours))
    length = np.where(np.isnan(hours), 0.0, hours)
    for i, width in enumerate(length):
        axes.barh(i, width, color=look.colour(i), hatch=look.hatch(i), edgecolor="white",
                  height=0.65)
        told = held.hours_text(outcome[i], hours[i])
        if outcome[i] == FAILED:
            told = "failed: does not fit, or cannot be computed"
        axes.annotate(told, xy=(width, i), xytext=(8, 0), textcoords="offset points", va="center",
                      fontsize=look.SMALL,
                      color=look.ALERT if outcome[i] in (FAILED, NEVER_WITHIN) else look.INK)
        if outcome[i] == OUTLASTED:
            axes.plot(width, i, marker=">", markersize=10, color=look.colour(i), clip_on=False)
    if table.samples > 1:
        low, high = (held.quantiles(table, limit, table.firsts, share)[1] for share in (0.1, 0.9))
        there = outcome != FAILED
        axes.hlines(rows[there], low[there], high[there], color=look.INK, linewidth=2)
    axes.set_xlim(0, 1.25 * max(length.max(), 1e-9))
    axes.set_title(limit.title)
    axes.set_xlabel("Hold time (h)" if table.samples == 1
                    else "Hold time (h): P50, line from P10 to P90")
    axes.grid(axis="y", visible=False)
