"""All four pictures of a run on one page."""

from __future__ import annotations

import coolant
import depth
import heat_budget
import temperatures
from history import History


def draw(history: History, figure) -> None:
    """Draw the four pictures of `history` in two rows."""
    quarters = figure.subfigures(2, 2, wspace=0.03, hspace=0.03).flat
    for quarter, picture in zip(quarters, (temperatures, coolant, heat_budget, depth)):
        picture.draw(history, quarter)
