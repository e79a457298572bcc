"""The picture of hold time over two inputs."""

from __future__ import annotations

import numpy as np
from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from matplotlib.patheffects import withStroke

import held
import look
from grouping import axis_inputs, groups
from table import ENDED, OUTLASTED, Held, Input, Table

MOST_PANELS = 6


def suits(table: Table) -> bool:
    """Whether there are two numbers of three values or more to draw over."""
    across = axis_inputs(table, [])
    return len(across) > 1 and bool(table.limits) and table.found is None and all(
        len(set(column.values.tolist())) > 2 for column in across[:2])


def draw(table: Table, figure, wanted: list[str]) -> None:
    """Draw hours held of the first limit over two inputs, a panel for each of the rest."""
    across, up = axis_inputs(table, wanted)[:2]
    limit = table.limits[0]
    panels = groups(table, [across, up])
    shown = panels[:MOST_PANELS]
    more = f" ({len(panels) - len(shown)} more not drawn)" if len(panels) > len(shown) else ""
    look.heading(figure, f"Hold time (h), {limit.name}{more}")
    most = np.nanmax(limit.hours) if not np.isnan(limit.hours).all() else 1.0
    columns = min(len(shown), 3)
    rows = -(-len(shown) // columns)
    drawn = figure.subplots(rows, columns, squeeze=False, sharex=True, sharey=True)
    colours = None
    for axes, (label, firsts) in zip(drawn.flat, shown):
        found = _draw_panel(axes, table, limit, (across, up), firsts, max(most, 1e-9))
        colours = found or colours
        axes.set_title(look.shortened(label))
    for axes in drawn[-1]:
        axes.set_xlabel(across.label)
    for axes in drawn[:, 0]:
        axes.set_ylabel(up.label)
    for axes in list(drawn.flat)[len(shown):]:
        axes.set_axis_off()
    if colours is not None:
        figure.colorbar(colours, ax=drawn, label="Hold time (h)", shrink=0.9)
    _draw_legend(drawn[-1, 0], limit)


def _draw_panel(axes: Axes, table: Table, limit: Held, two: tuple[Input, Input],
                firsts: np.ndarray, most: float):
    across, up = two
    x = np.unique(across.values[firsts])
    y = np.unique(up.values[firsts])
    hours = np.full((len(y), len(x)), np.nan)
    outcomes, values = held.quantiles(table, limit, firsts, 0.5)
    place = (np.searchsorted(y, up.values[firsts]), np.searchsorted(x, across.values[firsts]))
    hours[place] = np.where(np.isin(outcomes, (ENDED, OUTLASTED)), values, np.nan)
    axes.grid(visible=False)
    axes.set_facecolor(look.ABSENT)
    colours = None
    if not np.isnan(hours).all():
        colours = axes.pcolormesh(x, y, hours, shading="nearest", cmap=look.TEMPERATURE_MAP,
                                  vmin=0, vmax=most)
    if np.isfinite(hours).all() and np.ptp(hours) > 0 and min(hours.shape) > 1:
        lines = axes.contour(x, y, hours, levels=5, colors="white", linewidths=1.0)
        around = [withStroke(linewidth=2.5, foreground=look.INK)]
        for label in axes.clabel(lines, fmt="%g h", fontsize=look.SMALL):
            label.set_path_effects(around)
    for kind, (mark, _) in held.MARKS.items():
        there = outcomes == kind
        axes.plot(across.values[firsts][there], up.values[firsts][there], linestyle="none",
                  marker=mark, markersize=7, color=look.ALERT,
                  markerfacecolor="none", markeredgewidth=1.5)
    return colours


def _draw_legend(axes: Axes, limit: Held) -> None:
    handles = [Line2D([], [], linestyle="none", marker=mark, color=look.ALERT,
                      markerfacecolor="none", markeredgewidth=1.5, label=label)
               for kind, (mark, label) in held.MARKS.items() if (limit.outcome == kind).any()]
    if handles:
        axes.legend(handles=handles, loc="upper left", bbox_to_anchor=(0.0, -0.2),
                    borderaxespad=0.0, ncols=3)
