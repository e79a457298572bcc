"""The picture of temperatures with several coolants on one axis, from histories kept."""

from __future__ import annotations

import comparison
from contenders import suits as only_contenders
from history import read_history
from table import FAILED, Table

MOST_RUNS = 7


def suits(table: Table) -> bool:
    """Whether only coolants differ and their histories were kept."""
    return only_contenders(table) and table.samples == 1 and len(_kept(table)) > 1


def draw(table: Table, figure, wanted: list[str]) -> None:
    """Draw the probes of the first limit for each coolant that has a history."""
    del wanted
    cases = _kept(table)[:MOST_RUNS]
    histories = [read_history(table.history_of(case)) for case in cases]
    comparison.draw(histories, figure, [table.contender.text(case) for case in cases])


def _kept(table: Table) -> list[int]:
    return [case for case in table.firsts
            if table.limits[0].outcome[case] != FAILED and table.history_of(case).exists()]
