"""The picture of temperatures with several coolants on one axis, from histories kept."""

from __future__ import annotations

import comparison
from grouping import changing
from history import read_history
from table import FAILED, Table

MOST_RUNS = 7


def suits(table: Table) -> bool:
    """Whether coolants were compared and their histories kept."""
    return (table.contender is not None and bool(table.limits) and table.found is None
            and table.samples == 1 and len(_kept(table)) > 1)


def draw(table: Table, figure, wanted: list[str]) -> None:
    """Draw the probes of the first limit for each coolant that has a history, of the first of what
    varies beside."""
    del wanted
    cases = _kept(table)[:MOST_RUNS]
    histories = [read_history(table.history_of(case)) for case in cases]
    beside = [column.text(cases[0]) if not column.is_number
              else f"{column.name} {column.text(cases[0])}"
              for column in changing(table)
              if column.role != "contender" and len(str(column.values[cases[0]])) < 30]
    title = ", ".join(["Coolants compared", *beside])
    comparison.draw(histories, figure, [table.contender.text(case) for case in cases], title)


def _kept(table: Table) -> list[int]:
    others = [column for column in changing(table) if column.role != "contender"]
    first = table.firsts[0]
    return [case for case in table.firsts
            if table.limits[0].outcome[case] != FAILED and table.history_of(case) is not None
            and table.history_of(case).exists()
            and all(column.values[case] == column.values[first] for column in others)]
