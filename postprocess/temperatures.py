"""The picture of what the probes show."""

from __future__ import annotations

import look
from history import History, Limit
from marks import Mark, draw_marks


def draw(history: History, figure) -> None:
    """Draw the probes (degC) against hours, with the limits and when they were passed."""
    look.heading(figure, "Temperatures")
    if not history.probes:
        look.say_instead(figure, "This run has no probes.")
        return
    axes = figure.subplots()
    hours = look.hours(history.time)
    watched = {name for limit in history.limits for name in limit.probes}
    for i, probe in enumerate(history.probes):
        axes.plot(hours, look.celsius(probe.temperature), color=look.colour(i),
                  linestyle=look.dash(i), marker=look.marker(history.time),
                  linewidth=2.4 if probe.name in watched else 1.5,
                  label=look.wrapped(probe.name))
    for limit in history.limits:
        axes.axhline(look.celsius(limit.temperature), color=look.INK, linewidth=1.2,
                     linestyle=look.DASHES[history.limits.index(limit) % 3 + 1],
                     label=look.wrapped(limit_text(limit, history.completed)))
    axes.set_ylabel("Temperature (°C)")
    look.hour_axis(axes, history.time)
    draw_marks(axes, _marks(history))
    look.legend_beside(axes)


def limit_text(limit: Limit, completed: bool) -> str:
    """The limit in words for a legend, with the outcome of a whole run when it has no mark."""
    text = f"limit {limit.name}, {limit.words} {look.celsius_text(limit.temperature)}"
    if not completed:
        return text
    if limit.chill_time is None:
        return text + (": never that cold" if limit.upper else ": never that warm")
    if limit.end_time is None:
        extreme = "warmest" if limit.upper else "coldest"
        reached = "" if limit.worst is None else f", {extreme} {look.celsius_text(limit.worst)}"
        return text + ": held to the end" + reached + worth_text(limit)
    return text


def worth_text(limit: Limit) -> str:
    """What a logger's error makes of a hold time, such as ` (8.0 to 18.0 h within 0.5 K)`; nothing
    on a steep curve."""
    if limit.held_least is None or limit.held_most is None:
        return ""
    least, most = look.hours(limit.held_least), look.hours(limit.held_most)
    return f" ({least:.1f} to {most:.1f} h within {limit.logger_error:g} K)"


def ended_texts(history: History) -> list[str]:
    """What ended each limit, a sentence a limit."""
    return [f"{limit.name} {'ended' if limit.end_time is not None else 'not met'}: {limit.ended}"
            for limit in history.limits if limit.ended]


def _marks(history: History) -> list[Mark]:
    several = len(history.limits) > 1
    marks = []
    for limit in history.limits:
        prefix = f"{look.shortened(limit.name)} " if several else ""
        met_late = limit.chill_time is not None and limit.chill_time > 0
        if met_late:
            marks.append(Mark(look.hours(limit.chill_time),
                              f"{prefix}{'cold' if limit.upper else 'warm'} from {look.hours_text(limit.chill_time)}",
                              look.INK))
        if limit.end_time is not None:
            text = f"{prefix}ends {look.hours_text(limit.end_time)}"
            if met_late and limit.hold_time is not None:
                text += f", held {look.hours_text(limit.hold_time)}"
            text += worth_text(limit)
            marks.append(Mark(look.hours(limit.end_time), text, look.ALERT))
    return marks
