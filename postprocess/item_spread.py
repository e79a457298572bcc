"""The picture of how uneven each coolant and payload is inside."""

from __future__ import annotations

import numpy as np

import look
from history import History


def draw(history: History, figure) -> None:
    """Draw the coldest, mean and warmest temperature of every coolant and payload over time."""
    look.heading(figure, "Coldest and warmest place of the contents")
    if history.fields is None:
        look.say_instead(figure, "This run kept no fields, so there is no spread to show.")
        return
    axes = figure.subplots()
    for k, (name, cells) in enumerate(contents(history)):
        inside = look.celsius(history.fields.temperature[:, cells])
        hours = look.hours(history.time)
        axes.fill_between(hours, inside.min(axis=1), inside.max(axis=1), color=look.colour(k),
                          alpha=0.25, linewidth=0)
        axes.plot(hours, inside.min(axis=1), color=look.colour(k), linewidth=0.9)
        axes.plot(hours, inside.max(axis=1), color=look.colour(k), label=look.wrapped(name))
    look.hour_axis(axes, history.time)
    axes.set_ylabel("Temperature (°C)")
    look.legend_beside(axes)


def contents(history: History) -> list[tuple[str, np.ndarray]]:
    """Name and cells of each coolant and payload, shells left out."""
    found = []
    for i, part in enumerate(history.grid.part_names):
        for kind in ("coolant ", "payload "):
            if part.startswith(kind):
                found.append((part.removeprefix(kind), np.flatnonzero(history.grid.part == i)))
    return found
