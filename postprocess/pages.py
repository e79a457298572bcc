"""Makes whole figures: a picture, its size and the line at its foot."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType, ModuleType

from matplotlib.figure import Figure

import comparison
import contender_curves
import contenders
import coolant
import depth
import found
import heat_budget
import held_curve
import held_map
import item_spread
import look
import overview
import paired
import ranking
import section_flow
import section_frames
import spread
import temperatures
from history import History
from table import Table

FOOT_LETTERS = 110
SIZES = {"overview": look.OVERVIEW_SIZE, "section": (13.0, 7.0), "flow": (13.0, 6.2)}

PICTURES: Mapping[str, Callable[[History, Figure], None]] = MappingProxyType({
    "temperatures": temperatures.draw,
    "coolant": coolant.draw,
    "heat": heat_budget.draw,
    "depth": depth.draw,
    "overview": overview.draw,
    "spread": item_spread.draw,
    "section": section_frames.draw,
    "flow": section_flow.draw,
})

TABLE_PICTURES: Mapping[str, ModuleType] = MappingProxyType({
    "input": held_curve,
    "map": held_map,
    "coolants": contenders,
    "curves": contender_curves,
    "spread": spread,
    "paired": paired,
    "ranking": ranking,
    "found": found,
})


def page(name: str, history: History) -> Figure:
    """The figure of the picture `name` of `history`, complete with its foot."""
    figure = _blank(SIZES.get(name, look.SIZE))
    PICTURES[name](history, figure)
    ended = temperatures.ended_texts(history) if name in ("temperatures", "overview") else []
    said = " \N{EM DASH} ".join(text for text in (history.title, history.notice) if text)
    _foot(figure, [said, *ended], alert=not history.completed, separator="\n")
    return figure


def comparison_page(histories: Sequence[History]) -> Figure:
    """The figure that compares `histories`, complete with its foot."""
    figure = _blank(look.SIZE)
    comparison.draw(histories, figure)
    named = zip(comparison.short_names(histories), histories)
    notices = [f"{name}: {history.notice}" for name, history in named if history.notice]
    _foot(figure, notices, alert=bool(notices), separator="\n")
    return figure


def pictures_of(table: Table) -> list[str]:
    """Names of the pictures that suit a table."""
    return [name for name, picture in TABLE_PICTURES.items() if picture.suits(table)]


def table_page(name: str, table: Table, wanted: Sequence[str]) -> Figure:
    """The figure of the picture `name` of `table`, inputs `wanted` first on its axes."""
    size_of = getattr(TABLE_PICTURES[name], "size", None)
    usual = look.SIZE if len(table.limits) < 2 else look.WIDE_SIZE
    figure = _blank(size_of(table) if size_of else usual)
    TABLE_PICTURES[name].draw(table, figure, list(wanted))
    _foot(figure, [table.title], alert=False)
    return figure


def _blank(size: tuple[float, float]) -> Figure:
    figure = Figure(figsize=size, layout="constrained")
    figure.get_layout_engine().set(w_pad=0.08, h_pad=0.08)
    return figure


def _foot(
    figure: Figure, texts: Sequence[str | None], alert: bool, separator: str = " \N{EM DASH} "
) -> None:
    said = separator.join(textwrap.fill(text, FOOT_LETTERS) for text in texts if text)
    if said:
        figure.supxlabel(said, x=0.012, ha="left", fontsize=look.SMALL,
                         color=look.ALERT if alert else look.QUIET)
