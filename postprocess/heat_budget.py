"""The picture of where the heat came in."""

from __future__ import annotations

import numpy as np
from matplotlib.axes import Axes

import look
from history import History


def draw(history: History, figure) -> None:
    """Draw cumulative heat by path (kJ or MJ) against hours, and the final shares (%)."""
    look.heading(figure, "Heat by path")
    if not history.heat_paths:
        look.say_instead(figure, "This run has no paths of heat.")
        return
    areas, bars = figure.subplots(1, 2, gridspec_kw={"width_ratios": (3, 2)})
    _draw_areas(history, areas)
    _draw_shares(history, bars)


def energy_unit(largest: float) -> tuple[str, float]:
    """Name and size in J of the unit that suits heats up to `largest` J."""
    return ("MJ", 1e6) if largest >= 1e6 else ("kJ", 1e3)


def shares(history: History) -> np.ndarray:
    """Each path's final heat in percent of all heat exchanged, signed, shape (B,).

    The sizes add up to 100; all are 0 when no heat was exchanged.
    """
    final = np.array([path.heat[-1] for path in history.heat_paths])
    exchanged = np.abs(final).sum()
    return 100 * final / exchanged if exchanged > 0 else np.zeros_like(final)


def _draw_areas(history: History, axes: Axes) -> None:
    heat = np.array([path.heat for path in history.heat_paths])
    gains, losses = np.clip(heat, 0, None), np.clip(heat, None, 0)
    largest = max(gains.sum(axis=0).max(), -losses.sum(axis=0).min(),
                  np.abs(history.stored).max())
    unit, size = energy_unit(largest)
    hours = look.hours(history.time)
    for stack in (gains, losses):
        edges = np.vstack([np.zeros(len(hours)), np.cumsum(stack, axis=0)]) / size
        for i in range(len(stack)):
            if np.any(stack[i]):
                axes.fill_between(hours, edges[i], edges[i + 1], facecolor=look.colour(i),
                                  edgecolor="white", linewidth=0.5, hatch=look.hatch(i))
    axes.plot(hours, history.stored / size, color=look.INK, linewidth=1.6,
              linestyle=look.DASHES[1], label="stored in the box")
    axes.axhline(0, color=look.INK, linewidth=0.8)
    axes.set_ylabel(f"Heat that came in ({unit})")
    axes.legend(loc="upper left")
    look.hour_axis(axes, history.time)


def _draw_shares(history: History, axes: Axes) -> None:
    percent = shares(history)
    rows = np.arange(len(percent))
    for i, share in enumerate(percent):
        axes.barh(i, share, color=look.colour(i), hatch=look.hatch(i), edgecolor="white",
                  height=0.7)
        axes.annotate(f"{share:.1f} %".replace("-", "\N{MINUS SIGN}"), xy=(max(share, 0), i),
                      xytext=(5, 0), textcoords="offset points", va="center",
                      fontsize=look.SMALL)
    axes.set_yticks(rows, [look.wrapped(path.name) for path in history.heat_paths])
    axes.invert_yaxis()
    axes.grid(axis="y", visible=False)
    axes.axvline(0, color=look.INK, linewidth=0.8)
    axes.set_xlim(min(1.1 * percent.min(), 0), max(1.45 * percent.max(), 10))
    axes.set_xlabel("Share of all heat exchanged (%)")
