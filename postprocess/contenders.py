"""The picture of coolants on equal terms, or of cases that differ in words: how long each holds."""

from __future__ import annotations

import numpy as np
from matplotlib.axes import Axes

import held
import look
from grouping import axis_inputs, changing, groups
from table import ENDED, FAILED, NEVER_WITHIN, OUTLASTED, Held, Table

MOST_BARS = 28
BAR = 0.8


def suits(table: Table) -> bool:
    """Whether coolants are compared, or what varies is no number."""
    if not table.limits or table.found is not None:
        return False
    return table.contender is not None or bool(changing(table)) and not axis_inputs(table, [])


def size(table: Table) -> tuple[float, float]:
    """Width and height of the figure (inches) that the bars need."""
    bars = min(len(table.firsts), MOST_BARS)
    wide = look.SIZE[0] if len(table.limits) < 2 else look.WIDE_SIZE[0]
    return wide + 2.0, max(look.SIZE[1], 1.6 + 0.45 * bars)


def draw(table: Table, figure, wanted: list[str]) -> None:
    """Draw a bar of hours held for each case, coolants in a group for all that varies beside; a
    panel a limit. The best of each group is bold."""
    del wanted
    look.heading(figure, "Coolants compared" if table.contender is not None else "Cases compared")
    drawn = _groups(table)
    panels = figure.subplots(1, len(table.limits), squeeze=False, sharey=True)[0]
    for axes, limit in zip(panels, table.limits):
        _draw_panel(axes, table, limit, drawn)
    ticks = [(place, text) for group in drawn for place, text in zip(group.places, group.names)]
    panels[0].set_yticks([place for place, _ in ticks], [text for _, text in ticks])
    panels[0].invert_yaxis()
    left_out = len(table.firsts) - len(ticks)
    if left_out > 0:
        panels[-1].set_title(f"{left_out} more in the table", loc="right", fontsize=look.SMALL)


class _Group:
    """Cases side by side: `cases` at `places` up the axis, by `names`, below a `label`."""

    def __init__(self, table: Table, label: str, cases: np.ndarray, start: float) -> None:
        self.label = label
        self.cases = cases
        self.places = start + np.arange(len(cases))
        self.names = [_named(table, case) if table.contender is not None else look.wrapped(label)
                      for case in cases]


def _groups(table: Table) -> list[_Group]:
    made: list[_Group] = []
    place, left = 0.0, MOST_BARS
    compared = [table.contender] if table.contender is not None else []
    between = 0.9 if compared and len(changing(table)) > 1 else 0.0
    for label, cases in groups(table, compared):
        if left <= 0:
            break
        cases = cases[:left]
        made.append(_Group(table, label, cases, place))
        place += len(cases) + between
        left -= len(cases)
    return made


def _named(table: Table, first: int) -> str:
    """The coolant and how much of it."""
    amounts = {column.name.removeprefix(table.contender.name + " "): column
               for column in table.by_role("amount")}
    said = [amounts[name].text(first) for name in ("mass", "volume") if name in amounts]
    rounded = [f"{float(word.split()[0]):.3g} {word.split()[1]}" for word in said]
    if "cost" in amounts:
        rounded.append(f"cost {amounts['cost'].values[first]:.4g}")
    return f"{look.wrapped(table.contender.text(first))}\n{', '.join(rounded)}"


def _draw_panel(axes: Axes, table: Table, limit: Held, drawn: list[_Group]) -> None:
    longest = 1e-9
    colours: dict[str, int] = {}
    for group in drawn:
        outcome, hours = held.quantiles(table, limit, group.cases, 0.5)
        length = np.where(np.isnan(hours), 0.0, hours)
        longest = max(longest, length.max())
        best = _best(outcome, hours)
        for k, (case, place) in enumerate(zip(group.cases, group.places)):
            name = table.contender.text(case) if table.contender is not None else ""
            colour = colours.setdefault(name, len(colours))
            _draw_bar(axes, table, limit, case, (place, length[k]), outcome[k], colour, best[k])
        if table.samples > 1:
            low, high = (held.quantiles(table, limit, group.cases, share)[1]
                         for share in (0.1, 0.9))
            there = outcome != FAILED
            axes.hlines(group.places[there], low[there], high[there], color=look.INK, linewidth=2)
        if table.contender is not None and group.label:
            axes.annotate(group.label, xy=(0, group.places[0] - 0.65), xytext=(4, 0),
                          textcoords="offset points", va="center", fontsize=look.SMALL,
                          fontweight="bold")
    axes.set_xlim(0, (1.5 if table.samples == 1 else 1.4) * longest)
    axes.set_title(limit.title)
    axes.set_xlabel("Hold time (h)" if table.samples == 1
                    else "Hold time (h): P50, line from P10 to P90")
    axes.grid(axis="y", visible=False)


def _best(outcome: np.ndarray, hours: np.ndarray) -> np.ndarray:
    """Which of a group hold longest; none of a group of one."""
    rank = np.where(outcome == OUTLASTED, np.inf, np.where(outcome == ENDED, hours, -1.0))
    return (rank == rank.max()) & (rank >= 0) & (len(rank) > 1)


def _draw_bar(axes: Axes, table: Table, limit: Held, case: int, bar: tuple[float, float],
              outcome: int, colour: int, is_best: bool) -> None:
    """The bar of a case at (place, hours), what it came to beside it."""
    place, hours = bar
    axes.barh(place, hours, color=look.colour(colour), hatch=look.hatch(colour),
              edgecolor="white", height=BAR)
    flat = table.samples == 1 and limit.is_flat(case)
    if flat:
        axes.hlines(place, limit.least[case], limit.most[case], color=look.INK, linewidth=1.2)
    end = max(hours, limit.most[case]) if flat else hours
    if table.samples > 1 and outcome != FAILED:
        end = max(end, held.of_combination(table, limit, case, 0.9)[1])
    axes.annotate(_told(table, limit, case, outcome, hours), xy=(end, place), xytext=(8, 0),
                  textcoords="offset points", va="center", fontsize=look.SMALL,
                  fontweight="bold" if is_best else "normal",
                  color=look.ALERT if outcome in (FAILED, NEVER_WITHIN) else look.INK)
    if outcome == OUTLASTED:
        axes.plot(hours, place, marker=">", markersize=10, color=look.colour(colour),
                  clip_on=False)


def _told(table: Table, limit: Held, case: int, outcome: int, hours: float) -> str:
    if outcome == FAILED:
        reason = table.reasons[case] if table.reasons else ""
        return look.shortened_to(f"failed: {reason or 'does not fit, or cannot be computed'}", 90)
    told = held.hours_text(outcome, hours)
    if table.samples > 1:
        return told
    if limit.is_flat(case):
        told += f" ({limit.least[case]:.1f} to {limit.most[case]:.1f})"
    if limit.frozen is not None and np.isfinite(limit.frozen[case]) and limit.frozen[case] > 0.05:
        told += f", {100 * limit.frozen[case]:.0f} % still frozen"
    if table.coldest is not None and np.isfinite(table.coldest[case]) and table.coldest[case] < 0:
        told += f", coldest {table.coldest[case]:.1f} °C".replace("-", "\N{MINUS SIGN}")
    return told
