"""The picture of hold time against one input."""

from __future__ import annotations

import numpy as np
from matplotlib.axes import Axes

import held
import look
from grouping import axis_inputs, groups
from table import ENDED, OUTLASTED, Held, Input, Table

MOST_CURVES = 14


def suits(table: Table) -> bool:
    """Whether there is a number to draw against."""
    return bool(axis_inputs(table, [])) and bool(table.limits) and table.found is None


def draw(table: Table, figure, wanted: list[str]) -> None:
    """Draw hours held against the first of `axis_inputs`, a panel a limit, a curve for the rest.

    With tolerances: the median, and a band from P10 to P90.
    """
    across = axis_inputs(table, wanted)[0]
    look.heading(figure, f"Hold time against {across.name}")
    panels = figure.subplots(1, len(table.limits), squeeze=False, sharex=True)[0]
    for axes, limit in zip(panels, table.limits):
        _draw_panel(axes, table, limit, across)
    for limit in table.limits:
        held.name_marks(panels[-1], limit.outcome)
    look.shared_legend(panels)


def _draw_panel(axes: Axes, table: Table, limit: Held, across: Input) -> None:
    curves = groups(table, [across])
    for i, (label, firsts) in enumerate(curves[:MOST_CURVES]):
        x = across.values[firsts]
        order = np.argsort(x)
        x, firsts = x[order], firsts[order]
        outcome, hours = held.quantiles(table, limit, firsts, 0.5)
        drawn = np.isin(outcome, (ENDED, OUTLASTED))
        axes.plot(x[drawn], hours[drawn], color=look.colour(i), linestyle=look.dash(i),
                  marker=look.shape(i) if len(x) < 30 else "", markersize=4.5,
                  label=look.wrapped(label) if label else "_nolegend_")
        held.draw_marks(axes, x, outcome, hours, look.colour(i),
                        aside=5.0 * (i - (len(curves) - 1) / 2))
        if table.samples > 1:
            low, high = (held.quantiles(table, limit, firsts, share)[1] for share in (0.1, 0.9))
            axes.fill_between(x, low, high, color=look.colour(i), alpha=0.2, linewidth=0)
    if len(curves) > MOST_CURVES:
        axes.plot([], [], linestyle="none",
                  label=f"and {len(curves) - MOST_CURVES} more, not drawn")
    axes.set_ylim(bottom=0)
    axes.set_title(limit.name)
    axes.set_xlabel(across.label)
    axes.set_ylabel("Hold time (h)" if table.samples == 1 else "Hold time (h): P10, P50, P90")
