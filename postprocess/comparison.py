"""The picture that sets several runs side by side."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import look
from history import History, Probe
from marks import Mark, draw_marks


def draw(histories: Sequence[History], figure, names: Sequence[str] | None = None,
         title: str = "Runs compared") -> None:
    """Draw the probes (degC) of each run's first limit against hours, a colour for a run.

    Runs go by `names`, or else by their titles or files.
    """
    look.heading(figure, title)
    if not any(_compared(history) for history in histories):
        look.say_instead(figure, "None of these runs has a limit that watches a probe.")
        return
    axes = figure.subplots()
    marks = []
    for i, (history, name) in enumerate(zip(histories, names or short_names(histories))):
        for k, probe in enumerate(_compared(history)):
            axes.plot(look.hours(history.time), look.celsius(probe.temperature),
                      color=look.colour(i), marker=look.marker(history.time),
                      linestyle=look.DASHES[k % len(look.DASHES)],
                      label=look.wrapped(f"{name}: {probe.name}"))
        if history.limits and history.limits[0].end_time is not None:
            end = history.limits[0].end_time
            marks.append(Mark(look.hours(end),
                              f"{look.shortened(name)} ends {look.hours_text(end)}",
                              look.colour(i)))
    limits = {(limit.name, limit.words, limit.temperature)
              for h in histories for limit in h.limits[:1]}
    for k, (name, allowed, temperature) in enumerate(sorted(limits)):
        axes.axhline(look.celsius(temperature), color=look.INK, linewidth=1.2,
                     linestyle=look.DASHES[k % 3 + 1],
                     label=look.wrapped(f"limit {name}, {allowed} {look.celsius_text(temperature)}"))
    axes.set_ylabel("Temperature (°C)")
    look.hour_axis(axes, max((h.time for h in histories), key=lambda time: time[-1]))
    draw_marks(axes, marks)
    look.legend_beside(axes)


def short_names(histories: Sequence[History]) -> list[str]:
    """A name for each run: what its title adds to the others', or where titles do not tell runs
    apart its stem, with its folder where stems are the same."""
    titles = _telling_titles([history.title for history in histories])
    if titles:
        return titles
    counts = Counter(history.stem for history in histories)
    return [
        history.stem if counts[history.stem] == 1
        else f"{history.path.resolve().parent.name}/{history.stem}"
        for history in histories
    ]


def _telling_titles(titles: list[str]) -> list[str]:
    """Titles without the words they all begin with, up to a colon; none where any two are alike."""
    if len(set(titles)) < len(titles) or len(titles) < 2 or not all(titles):
        return []
    heads = {title.partition(": ")[0] for title in titles}
    if len(heads) == 1 and all(": " in title for title in titles):
        titles = [title.partition(": ")[2] for title in titles]
    return [look.shortened(title) for title in titles]


def _compared(history: History) -> tuple[Probe, ...]:
    return history.probes_of(history.limits[0]) if history.limits else ()
