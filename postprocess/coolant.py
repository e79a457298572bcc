"""The picture of how much of the coolant has melted and of the payload is unfrozen."""

from __future__ import annotations

import numpy as np

import look
from history import Content, History
from marks import Mark, draw_marks


def draw(history: History, figure) -> None:
    """Draw liquid fractions (%) against hours, with the instants of spending and freezing."""
    look.heading(figure, "Liquid part of coolant and payload")
    payloads = [payload for payload in history.payloads if freezes(payload)]
    shown = [*history.coolants, *payloads]
    if not shown:
        look.say_instead(figure, "Nothing in this run melts or freezes.")
        return
    axes = figure.subplots()
    marks = []
    for i, content in enumerate(shown):
        is_coolant = i < len(history.coolants)
        axes.plot(look.hours(history.time), 100 * content.liquid_fraction,
                  color=look.colour(i), linewidth=2.4 if is_coolant else 1.5,
                  marker=look.marker(history.time),
                  linestyle="-" if is_coolant else look.DASHES[1],
                  label=look.wrapped(content.name if is_coolant
                                     else f"{content.name} (payload)"))
        if content.marked_at is not None:
            word = "spent" if is_coolant else "freezing from"
            marks.append(Mark(look.hours(content.marked_at),
                              f"{look.shortened(content.name)} {word} "
                              f"{look.hours_text(content.marked_at)}",
                              look.colour(i)))
    axes.set_ylim(-4, 104)
    axes.set_ylabel("Liquid part of the mass (%)")
    look.hour_axis(axes, history.time)
    draw_marks(axes, marks)
    look.legend_beside(axes)


def freezes(payload: Content) -> bool:
    """Whether any of the payload is solid at any time."""
    return payload.marked_at is not None or bool(
        np.any(np.nan_to_num(payload.liquid_fraction, nan=1.0) < 1.0)
    )
