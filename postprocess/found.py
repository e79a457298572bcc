"""The picture of values found for a wanted hold time."""

from __future__ import annotations

import numpy as np

import look
from grouping import axis_inputs, groups
from table import Table


def suits(table: Table) -> bool:
    """Whether something was sought."""
    return table.found is not None


def draw(table: Table, figure, wanted: list[str]) -> None:
    """Draw the value found against a number that varies, or as bars; say where there is none."""
    found = table.found
    look.heading(figure, f"Found: {found.name}")
    label = f"{found.name} ({found.units.replace('degC', '°C')})" if found.units else found.name
    ok = np.isin(found.ending, (found.words.index("found"), found.words.index("jump")))
    if not ok.any():
        look.say_instead(figure, "No value was found in any case; the column 'reason' says why.")
        return
    axes = figure.subplots()
    value = np.where(ok, found.value, np.nan)
    across = axis_inputs(table, wanted)
    if across:
        _draw_curves(table, axes, across[0], value)
        axes.set_ylabel(label)
        look.legend_beside(axes)
        return
    has_zero = found.units != "degC"
    unit = f" {found.units}".replace("degC", "°C").rstrip()
    names = {first: name for name, firsts in groups(table, []) for first in firsts}
    for i, first in enumerate(table.firsts):
        if has_zero:
            axes.barh(i, np.nan_to_num(value[first]), color=look.colour(i), hatch=look.hatch(i),
                      edgecolor="white", height=0.65)
        else:
            axes.plot(value[first], i, marker="o", markersize=9, color=look.colour(i))
        told = f"{value[first]:.4g}{unit}" if ok[first] else _sentence(found.words[found.ending[first]])
        at = value[first] if ok[first] else (0.0 if has_zero else np.nanmean([*value, 0.0]))
        axes.annotate(told, xy=(at, i), xytext=(8, 0), va="center",
                      textcoords="offset points", color=look.INK if ok[first] else look.ALERT)
    axes.set_yticks(np.arange(len(table.firsts)), [names[first] for first in table.firsts])
    axes.invert_yaxis()
    axes.grid(axis="y", visible=False)
    axes.margins(x=0.15)
    if has_zero:
        axes.set_xlim(0, 1.2 * np.nanmax([*value, 1e-9]))
    axes.set_xlabel(label)


def _sentence(word: str) -> str:
    return {"too_short": "none holds that long", "too_long": "all hold longer",
            "failed": "failed"}[word]


def _draw_curves(table: Table, axes, across, value: np.ndarray) -> None:
    missing = False
    for i, (name, firsts) in enumerate(groups(table, [across])):
        order = firsts[np.argsort(across.values[firsts])]
        axes.plot(across.values[order], value[order], color=look.colour(i), marker="o",
                  linestyle=look.dash(i), label=look.wrapped(name) if name else "_nolegend_")
        none = order[np.isnan(value[order])]
        missing = missing or len(none) > 0
        axes.plot(across.values[none], np.zeros(len(none)), linestyle="none", marker="x",
                  markersize=9, color=look.colour(i), transform=axes.get_xaxis_transform(),
                  clip_on=False)
    if missing:
        axes.plot([], [], linestyle="none", marker="x", color=look.QUIET, label="no value found")
    axes.set_xlabel(across.label)
