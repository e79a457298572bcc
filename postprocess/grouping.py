"""Chooses which inputs of a table go on the axes and which tell curves apart."""

from __future__ import annotations

import numpy as np

from table import Input, Table


def changing(table: Table) -> list[Input]:
    """Inputs that tell combinations apart, in the order of the plan."""
    return [column for column in table.inputs
            if column.role in ("varied", "contender")
            and len(set(column.values[table.firsts].tolist())) > 1]


def axis_inputs(table: Table, wanted: list[str]) -> list[Input]:
    """Numbers to draw against: those `wanted` by name first, then by how many values they take.

    Of inputs that step together only the first is taken.
    """
    numbers = [column for column in changing(table) if column.is_number]
    order = sorted(numbers, key=lambda column: (
        wanted.index(column.name) if column.name in wanted else len(wanted),
        -len(set(column.values.tolist()))))
    chosen: list[Input] = []
    for column in order:
        if not any(_in_step(column, other, table) for other in chosen):
            chosen.append(column)
    return chosen


def _in_step(one: Input, other: Input, table: Table) -> bool:
    pairs = set(zip(one.values[table.firsts].tolist(), other.values[table.firsts].tolist()))
    return len(pairs) == len(set(one.values.tolist())) == len(set(other.values.tolist()))


def groups(table: Table, axes: list[Input]) -> list[tuple[str, np.ndarray]]:
    """The combinations that differ only in `axes` (or what steps with them), with a label."""
    others = [column for column in changing(table) if column not in axes
              and not any(column.is_number and _in_step(column, axis, table) for axis in axes)]
    shown = [column for column in others if _says_something(column, others, table)]
    found: dict[tuple, list[int]] = {}
    for first in table.firsts:
        found.setdefault(tuple(column.values[first] for column in others), []).append(first)
    return [(", ".join(_worded(column, cases[0]) for column in shown), np.array(cases))
            for cases in found.values()]


def _worded(column: Input, case: int) -> str:
    return f"{column.name} {column.text(case)}" if column.is_number else column.text(case)


def _says_something(column: Input, others: list[Input], table: Table) -> bool:
    """False for pieces of a case as written where a shorter text steps with them."""
    if column.is_number:
        return True
    shorter = [other for other in others
               if not other.is_number and _in_step(column, other, table)]
    lengths = [max(map(len, other.values.tolist())) for other in shorter]
    return max(map(len, column.values.tolist())) <= min(lengths)
