"""How every picture looks: colours, fonts, units and the words for numbers."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from types import MappingProxyType

import numpy as np
from matplotlib.axes import Axes
from matplotlib.ticker import MaxNLocator

INK = "#22303c"
FAINT = "#8a949c"
QUIET = "#56616b"
ABSENT = "#e3e7ea"
ALERT = "#a63d00"

# Told apart with any kind of colour vision; the hues are those of Okabe and Ito.
PALETTE = ("#0072b2", "#d55e00", "#009e73", "#cc79a7", "#56b4e9", "#e69f00", "#4d5a63")
DASHES = ("-", (0, (5, 2)), (0, (1.5, 1.5)), (0, (6, 2, 1.5, 2)))
SHAPES = ("o", "s", "D", "v")
HATCHES = ("", "///", "...", "xxx")
TEMPERATURE_MAP = "cividis"

SMALL = 10.5
SIZE = (10.0, 5.8)
WIDE_SIZE = (14.0, 6.2)
OVERVIEW_SIZE = (19.0, 12.5)

STYLE = MappingProxyType({
    "font.family": "sans-serif",
    "font.sans-serif": ["DejaVu Sans"],
    "font.size": 11.5,
    "axes.titlesize": 12,
    "axes.titlelocation": "left",
    "axes.labelsize": 11.5,
    "axes.labelcolor": INK,
    "axes.edgecolor": FAINT,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.grid": True,
    "axes.axisbelow": True,
    "grid.color": ABSENT,
    "grid.linewidth": 0.8,
    "text.color": INK,
    "text.parse_math": False,
    "xtick.color": INK,
    "ytick.color": INK,
    "xtick.labelsize": SMALL,
    "ytick.labelsize": SMALL,
    "legend.fontsize": SMALL,
    "legend.frameon": False,
    "lines.linewidth": 1.9,
    "hatch.linewidth": 0.6,
    "figure.dpi": 100,
    "savefig.dpi": 130,
    "svg.hashsalt": "thawline",
})


def colour(index: int) -> str:
    """The colour of the `index`-th curve or area."""
    return PALETTE[index % len(PALETTE)]


def dash(index: int) -> object:
    """The line style of the `index`-th curve: it changes when the colours start again."""
    return DASHES[index // len(PALETTE) % len(DASHES)]


def shape(index: int) -> str:
    """The dot of the `index`-th curve: it changes when the colours start again."""
    return SHAPES[index // len(PALETTE) % len(SHAPES)]


def hatch(index: int) -> str:
    """The hatching of the `index`-th area: it changes when the colours start again."""
    return HATCHES[index // len(PALETTE) % len(HATCHES)]


def celsius(kelvin: np.ndarray | float) -> np.ndarray | float:
    """degC from K."""
    return kelvin - 273.15


def hours(seconds: np.ndarray | float) -> np.ndarray | float:
    """h from s."""
    return seconds / 3600.0


def hours_text(seconds: float) -> str:
    """A time in s said in hours, such as `31.4 h` or `0.25 h`."""
    value = hours(seconds)
    return f"{value:.1f} h" if value >= 1 else f"{value:.2f} h"


def celsius_text(kelvin: float) -> str:
    """A temperature in K said in degC, such as `8 °C` or `-0.5 °C`."""
    value = round(celsius(kelvin), 1) + 0.0
    return f"{value:g} °C".replace("-", "\N{MINUS SIGN}")


def wrapped(text: str) -> str:
    """`text` broken into lines short enough for a legend."""
    return textwrap.fill(text, 34)


def shortened(text: str) -> str:
    """`text` cut at a word to what fits above the axes."""
    return textwrap.shorten(text, 34, placeholder="…")


def shortened_to(text: str, letters: int) -> str:
    """`text` cut at a word to so many letters, in lines short enough to stand beside a bar."""
    return textwrap.fill(textwrap.shorten(text, letters, placeholder="…"), 46)


def marker(time: np.ndarray) -> str:
    """A dot for a series of one instant, which has no line; nothing otherwise."""
    return "o" if len(time) == 1 else ""


def heading(figure, text: str) -> None:
    """Write the title of a picture at its upper left."""
    figure.suptitle(text, x=0.012, ha="left", fontsize=14, fontweight="bold", color=INK)


def hour_axis(axes: Axes, time: np.ndarray) -> None:
    """Make x the hours of `time` (s), from first to last, an hour wide for one instant."""
    axes.set_xlabel("Time since the start (h)")
    axes.xaxis.set_major_locator(MaxNLocator(nbins=9, steps=(1, 2, 3, 6, 10)))
    axes.set_xlim(hours(time[0]), hours(time[-1]) + (1.0 if len(time) == 1 else 0.0))


def legend_beside(axes: Axes) -> None:
    """Put the legend to the right of the axes, where it covers no curve."""
    shared_legend([axes])


def shared_legend(panels: Sequence[Axes]) -> None:
    """One legend to the right of the last of `panels`, each label of any of them once."""
    handles = {}
    for axes in panels:
        for handle, label in zip(*axes.get_legend_handles_labels()):
            handles.setdefault(label, handle)
    if handles:
        panels[-1].legend(handles.values(), handles.keys(), loc="upper left",
                          bbox_to_anchor=(1.01, 1.0), borderaxespad=0.0, labelspacing=0.35,
                          ncols=1 + len(handles) // 18)


def say_instead(figure, text: str) -> None:
    """Fill the picture with a sentence, for want of anything to draw."""
    axes = figure.subplots()
    axes.set_axis_off()
    axes.text(0.5, 0.5, text, ha="center", va="center", fontsize=13,
              transform=axes.transAxes)
