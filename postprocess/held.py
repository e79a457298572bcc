"""Hold times as they are drawn: quantiles of what was drawn, marks of what is no number."""

from __future__ import annotations

import numpy as np
from matplotlib.axes import Axes
from matplotlib.transforms import ScaledTranslation

import look
from table import ENDED, FAILED, NEVER_WITHIN, OUTLASTED, Held, Table

MARKS = {OUTLASTED: ("^", "still within at\nthe end of the run"),
         NEVER_WITHIN: ("x", "never within the limit"),
         FAILED: ("d", "failed: has no hold time")}


def of_combination(table: Table, held: Held, first: int, share: float) -> tuple[int, float]:
    """Outcome and hours of the quantile `share` (0 to 1) of a combination, FAILED without any.

    The smallest value that at least this share of the cases do not exceed; those never within come
    first and those that outlasted the run last. Of a sample made for a ranking only its
    independent cases count.
    """
    cases = np.arange(first, first + table.samples)
    if table.rankings and table.rankings[0] is not None:
        cases = cases[np.arange(table.samples) % (len(table.rankings[0].inputs) + 2) < 2]
    cases = cases[held.outcome[cases] != FAILED]
    if len(cases) == 0:
        return FAILED, np.nan
    rank = np.select([held.outcome[cases] == NEVER_WITHIN, held.outcome[cases] == ENDED], [0, 1], 2)
    order = cases[np.lexsort((held.hours[cases], rank))]
    case = order[max(int(np.ceil(len(order) * share - 1e-9)), 1) - 1]
    return int(held.outcome[case]), float(held.hours[case])


def quantiles(table: Table, held: Held, firsts: np.ndarray,
              share: float) -> tuple[np.ndarray, np.ndarray]:
    """The same for many combinations: outcomes and hours."""
    both = [of_combination(table, held, first, share) for first in firsts]
    return np.array([one[0] for one in both]), np.array([one[1] for one in both])


def draw_marks(axes: Axes, x: np.ndarray, outcome: np.ndarray, hours: np.ndarray, colour: str,
               aside: float = 0.0) -> None:
    """Mark the cases that have no hold time, shifted `aside` points to show beside others."""
    shift = ScaledTranslation(aside / 72, 0, axes.figure.dpi_scale_trans)
    for kind, (mark, _) in MARKS.items():
        there = outcome == kind
        y = np.where(np.isnan(hours), 0.0, hours)[there]
        (marks,) = axes.plot(x[there], y, linestyle="none", marker=mark, markersize=8,
                             color=colour, markerfacecolor="none" if kind == FAILED else colour,
                             clip_on=False, zorder=3, transform=axes.transData + shift,
                             label="_nolegend_")
        marks.set_in_layout(False)


def name_marks(axes: Axes, outcome: np.ndarray) -> None:
    """Put the marks that stand among `outcome` in the legend of `axes`."""
    for kind, (mark, label) in MARKS.items():
        if (outcome == kind).any():
            axes.plot([], [], linestyle="none", marker=mark, markersize=8, color=look.QUIET,
                      markerfacecolor="none" if kind == FAILED else look.QUIET, label=label)


def hours_text(outcome: int, hours: float) -> str:
    """A hold time in words."""
    if outcome == FAILED:
        return "failed"
    if outcome == NEVER_WITHIN:
        return "never within"
    return f"> {hours:.1f} h, to the end of the run" if outcome == OUTLASTED else f"{hours:.1f} h"
