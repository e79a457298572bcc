"""The picture of logged readings over computed curves, with their differences under them."""

from __future__ import annotations

import numpy as np

import look
from marks import Mark, draw_marks
from trial import Logged, Trial

ROW_HEIGHT = 5.4
TITLE_HEIGHT = 0.5
MOST_DOTS = 240


def size(trial: Trial) -> tuple[float, float]:
    """Inches that suit the number of records."""
    return 12.0, TITLE_HEIGHT + ROW_HEIGHT * len(trial.records)


def draw(trial: Trial, figure) -> None:
    """One block a record: readings (dots) over curves (lines), differences below."""
    count = len(trial.records)
    top, *blocks = figure.subfigures(1 + count, 1, squeeze=False,
                                     height_ratios=(TITLE_HEIGHT, *[ROW_HEIGHT] * count))[:, 0]
    top.suptitle(trial.title, x=0.012, ha="left", fontsize=14, fontweight="bold", color=look.INK)
    for record, block in zip(trial.records, blocks):
        _draw_record(record, block)


def _draw_record(record: Logged, block) -> None:
    block.suptitle(record.name, x=0.06, ha="left", fontsize=12.5, color=look.INK)
    upper, lower = block.subplots(2, 1, sharex=True, height_ratios=(2.4, 1),
                                  gridspec_kw={"hspace": 0.08, "left": 0.085, "right": 0.8,
                                               "top": 0.82, "bottom": 0.12})
    for i, channel in enumerate(record.channels):
        kept = _thinned(channel.time, channel.time >= 0)
        hours = look.hours(channel.time)
        if not channel.probe:
            inside = (channel.time >= 0) & (channel.time <= record.duration)
            upper.plot(hours[inside], look.celsius(channel.measured[inside]), color=look.FAINT,
                       linewidth=1.0, label=look.wrapped(f"{channel.name} (room)"))
            continue
        dots = kept & channel.used
        aside = kept & ~channel.used & (channel.time <= record.duration)
        upper.plot(hours, look.celsius(channel.computed), color=look.colour(i), linewidth=1.6,
                   label=look.wrapped(f"{channel.probe}, computed"))
        upper.plot(hours[dots], look.celsius(channel.measured[dots]), look.shape(i),
                   color=look.colour(i), markersize=3.2, markerfacecolor="none",
                   label=look.wrapped(f"{channel.name}, measured"))
        upper.plot(hours[aside], look.celsius(channel.measured[aside]), "x", color=look.FAINT,
                   markersize=3.2)
        difference = np.where(channel.used, channel.measured - channel.computed, np.nan)
        lower.plot(hours, difference, color=look.colour(i), linewidth=1.0)
    for hold in record.holds:
        upper.axhline(look.celsius(hold.temperature), color=look.INK, linewidth=1.0,
                      linestyle=(0, (4, 3)),
                      label=look.wrapped(f"limit {hold.name} {look.celsius_text(hold.temperature)}"))
    lower.axhline(0.0, color=look.INK, linewidth=0.8)
    for begin, end, _ in record.left_out:
        for axes in (upper, lower):
            axes.axvspan(look.hours(begin), look.hours(end), color=look.ABSENT, zorder=0)
    upper.set_ylabel("Temperature (°C)")
    lower.set_ylabel("Measured less\ncomputed (K)")
    look.hour_axis(lower, np.array([0.0, record.duration]))
    lower.set_xlabel("Time since packing (h)")
    draw_marks(upper, _marks(record))
    look.legend_beside(upper)


def _thinned(time: np.ndarray, inside: np.ndarray) -> np.ndarray:
    """Which readings get a dot: at most MOST_DOTS, evenly among those inside."""
    chosen = np.zeros(len(time), dtype=bool)
    places = np.flatnonzero(inside)
    if len(places):
        chosen[places[:: max(1, -(-len(places) // MOST_DOTS))]] = True
    return chosen


def _marks(record: Logged) -> list[Mark]:
    marks = []
    for hold in record.holds:
        if hold.computed is not None:
            marks.append(Mark(look.hours(hold.computed), f"computed {look.hours_text(hold.computed)}",
                              look.INK))
        if hold.measured is not None:
            marks.append(Mark(look.hours(hold.measured), f"measured {look.hours_text(hold.measured)}",
                              look.ALERT))
    return marks
