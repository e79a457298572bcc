"""Vertical marks at instants, labelled above the axes so that no curve is covered."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from matplotlib.axes import Axes

import look

ROW_POINTS = 15.0
OVERHANG = 0.2
LETTER_POINTS = 0.6 * look.SMALL


@dataclass(frozen=True)
class Mark:
    """An instant in h, what to say there and in which colour."""

    hour: float
    text: str
    colour: str


@dataclass(frozen=True)
class Label:
    """Where a label stands along x, in any one unit: its line at `anchor`, right or left of it."""

    anchor: float
    width: float
    to_the_right: bool

    @property
    def start(self) -> float:
        """The left end."""
        return self.anchor if self.to_the_right else self.anchor - self.width

    @property
    def end(self) -> float:
        """The right end."""
        return self.start + self.width


def label_rows(labels: Sequence[Label]) -> list[int]:
    """A row for each label such that none overlap and few lines run through a label.

    The line of a label rises to it through all lower rows, so of labels that run left the
    leftmost comes first, and of labels that run right the rightmost.
    """
    rows = [0] * len(labels)
    placed: list[int] = []
    outward = sorted(
        range(len(labels)),
        key=lambda i: (labels[i].to_the_right,
                       -labels[i].anchor if labels[i].to_the_right else labels[i].anchor),
    )
    for i in outward:
        taken = {rows[k] for k in placed if _overlap(labels[i], labels[k])}
        rows[i] = next(row for row in range(len(labels)) if row not in taken)
        placed.append(i)
    return rows


def _overlap(one: Label, other: Label) -> bool:
    return one.start < other.end and other.start < one.end


def _labels(axes: Axes, marks: Sequence[Mark]) -> list[Label]:
    low, high = axes.get_xlim()
    points_wide = 0.7 * axes.figure.bbox.width / axes.figure.dpi * 72
    letter = LETTER_POINTS / points_wide * (high - low)
    furthest = high + OVERHANG * (high - low)
    widths = [letter * (len(mark.text) + 2) for mark in marks]
    return [
        Label(mark.hour, width,
              mark.hour + width <= furthest or mark.hour - low < high - mark.hour)
        for mark, width in zip(marks, widths)
    ]


def draw_marks(axes: Axes, marks: Sequence[Mark]) -> None:
    """Draw `marks` on axes whose x is in h and whose x range is already set."""
    labels = _labels(axes, marks)
    for mark, label, row in zip(marks, labels, label_rows(labels)):
        axes.axvline(mark.hour, color=mark.colour, linewidth=1.2, linestyle=(0, (2, 2)),
                     zorder=1.5)
        lift = 3.0 + ROW_POINTS * row
        axes.annotate(
            mark.text, xy=(mark.hour, 1.0), xycoords=axes.get_xaxis_transform(),
            xytext=(4.0 if label.to_the_right else -4.0, lift), textcoords="offset points",
            ha="left" if label.to_the_right else "right", va="bottom",
            fontsize=look.SMALL, color=mark.colour, annotation_clip=False,
        )
        axes.annotate(
            "", xy=(mark.hour, 1.0), xycoords=axes.get_xaxis_transform(),
            xytext=(0.0, lift + look.SMALL), textcoords="offset points",
            arrowprops={"arrowstyle": "-", "color": mark.colour, "linewidth": 1.2,
                        "shrinkA": 0, "shrinkB": 0},
            annotation_clip=False,
        )
