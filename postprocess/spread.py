"""The picture of how hold times spread under tolerances."""

from __future__ import annotations

import numpy as np
from matplotlib.axes import Axes

import held
import look
from grouping import groups
from table import ENDED, FAILED, NEVER_WITHIN, OUTLASTED, Held, Table

SHARES = (0.1, 0.5, 0.9)
MOST_CURVES = 7


def suits(table: Table) -> bool:
    """Whether samples were drawn and nothing sought."""
    return table.samples > 1 and bool(table.limits) and table.found is None


def draw(table: Table, figure, wanted: list[str]) -> None:
    """Draw the share of cases that hold for at least so long, a panel a limit, with P10, 50, 90."""
    del wanted
    look.heading(figure, "Spread of hold times under tolerances")
    panels = figure.subplots(1, len(table.limits), squeeze=False)[0]
    for axes, limit in zip(panels, table.limits):
        _draw_panel(axes, table, limit)
    look.shared_legend(panels)


def _draw_panel(axes: Axes, table: Table, limit: Held) -> None:
    labels = {first: label for label, firsts in groups(table, []) for first in firsts}
    shown = table.firsts[:MOST_CURVES]
    for i, first in enumerate(shown):
        shares = np.linspace(0, 1, 401)[1:]
        values = [held.of_combination(table, limit, first, share) for share in shares]
        outcome = np.array([one[0] for one in values])
        hours = np.array([one[1] for one in values])
        if outcome[0] == FAILED:
            continue
        inside = np.isin(outcome, (ENDED, NEVER_WITHIN))
        beyond = 100 * (outcome == OUTLASTED).mean()
        said = [labels[first], f"{beyond:.0f} % outlast the run" if beyond else ""]
        axes.step(hours[inside], 100 * (1 - shares[inside]), where="post", color=look.colour(i),
                  label=look.wrapped(", ".join(filter(None, said))) or "_nolegend_")
        if beyond:
            axes.plot(hours[outcome == OUTLASTED][0], beyond, marker=">", markersize=9,
                      color=look.colour(i), clip_on=False)
        if len(shown) == 1:
            _draw_quantiles(axes, table, limit, first)
    if len(table.firsts) > MOST_CURVES:
        axes.plot([], [], linestyle="none",
                  label=f"and {len(table.firsts) - MOST_CURVES} more, not drawn")
    axes.set_ylim(0, 100)
    axes.set_title(limit.title)
    axes.set_xlabel("Hold time (h)")
    axes.set_ylabel("Share of cases that hold longer (%)")


def _draw_quantiles(axes: Axes, table: Table, limit: Held, first: int) -> None:
    for share in SHARES:
        outcome, hours = held.of_combination(table, limit, first, share)
        if outcome != ENDED:
            continue
        axes.plot(hours, 100 * (1 - share), marker="o", color=look.INK, zorder=3)
        axes.annotate(f"P{100 * share:.0f}  {hours:.1f} h", xy=(hours, 100 * (1 - share)),
                      xytext=(10, 6), textcoords="offset points", fontsize=look.SMALL)
