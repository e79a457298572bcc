"""Writes small tables of cases as solver/batch/TABLE.md has them."""

from __future__ import annotations

from pathlib import Path

import h5py
import numpy as np

from mark import MARK_BYTES
from synthetic import sign

FILL = 9.969209968386869e36
ENDED, OUTLASTED, NEVER_WITHIN, FAILED = 0, 1, 2, -1


class TableWriter:
    """A table under construction; `close` writes the order of its columns."""

    def __init__(self, path: Path, cases: int, samples: int = 0, title: str = "a table") -> None:
        self.path = path
        self.file = h5py.File(path, "w", userblock_size=MARK_BYTES)
        self.file.attrs.update(table_version=4, title=title, parts=1, part=1, cases=cases,
                               samples=samples)
        self.columns: list[str] = []
        self.cases = cases
        self.add("case", np.arange(1, cases + 1))
        if samples:
            self.add("combination", np.arange(cases) // samples + 1)
            self.add("sample", np.arange(cases) % samples + 1)

    def add(self, path: str, values, units: str = "1", long_name: str = "", **attributes) -> None:
        """Any column."""
        values = np.asarray(values)
        if values.dtype.kind in "UO":
            data = self.file.create_dataset(path, data=values.astype(object),
                                            dtype=h5py.string_dtype())
        else:
            data = self.file.create_dataset(path, data=values)
            data.attrs["_FillValue"] = FILL if values.dtype.kind == "f" else -1
        data.attrs.update(units=units, long_name=long_name or path, **attributes)
        self.columns.append(path)

    def add_input(self, name: str, values, units: str = "1", role: str = "varied") -> None:
        """A column of inputs."""
        self.add(f"inputs/{name}", values, units, name, role=role)

    def add_limit(self, name: str, outcome, hours, side: int = 0) -> None:
        """The columns of a limit that pictures read; side 1 for a lower limit."""
        outcome = np.asarray(outcome)
        self.add(f"limits/{name}/side", np.where(outcome == FAILED, -1, side).astype(np.int8),
                 flag_meanings="not_above not_below")
        self.add(f"limits/{name}/outcome", outcome.astype(np.int8))
        self.add(f"limits/{name}/held", np.where(outcome == FAILED, FILL, hours), "h")

    def close(self) -> None:
        """Finish the file."""
        self.file.create_dataset("columns", data=np.array(self.columns, dtype=object),
                                 dtype=h5py.string_dtype())
        self.file.close()
        sign(self.path, "table", 4)


def write_walls(path: Path) -> Path:
    """Two foams by four walls: the best outlasts its run, the first of all never comes within."""
    writer = TableWriter(path, 8)
    writer.add_input("foam", np.repeat(["white", "hard"], 4))
    writer.add_input("wall", np.tile([20.0, 30.0, 40.0, 50.0], 2), "mm")
    outcome = [NEVER_WITHIN, ENDED, ENDED, ENDED, ENDED, ENDED, OUTLASTED, FAILED]
    writer.add_limit("goods cold", outcome, [0.0, 11, 12, 13, 21, 22, 24, 0])
    writer.close()
    return path


def write_grid(path: Path) -> Path:
    """Three airs by four walls, one of them outlasting."""
    writer = TableWriter(path, 12)
    air, wall = np.repeat([10.0, 20.0, 30.0], 4), np.tile([20.0, 30.0, 40.0, 50.0], 3)
    writer.add_input("air", air, "degC")
    writer.add_input("wall", wall, "mm")
    outcome = np.full(12, ENDED)
    outcome[3] = OUTLASTED
    writer.add_limit("goods cold", outcome, 40 - air + wall / 10)
    writer.close()
    return path


def write_coolants(path: Path) -> Path:
    """Three coolants: one ends, one outlasts the run, one does not fit."""
    writer = TableWriter(path, 3)
    writer.add_input("coolant", ["ice", "gel", "brine"], role="contender")
    writer.add_input("coolant mass", [4.0, 4.2, 9.0], "kg", role="amount")
    writer.add_input("coolant volume", [4.36, 4.5, 9.5], "L", role="amount")
    writer.add_limit("goods cold", [ENDED, OUTLASTED, FAILED], [12.0, 48, 0])
    writer.close()
    return path


def write_boxes(path: Path) -> Path:
    """Two boxes in words, each with two coolants; the curve of the second case is flat."""
    writer = TableWriter(path, 4)
    writer.add_input("box", ["white", "white", "blue", "blue"])
    writer.add_input("coolant", ["ice", "gel", "ice", "gel"], role="contender")
    writer.add_input("coolant mass", [4.0, 4.2, 4.0, 4.2], "kg", role="amount")
    writer.add_limit("goods cold", [ENDED, ENDED, ENDED, NEVER_WITHIN], [12.0, 10, 20, 0])
    writer.add("limits/goods cold/held_least", np.array([11.5, 7.0, 19.5, 0.0]), "h")
    writer.add("limits/goods cold/held_most", np.array([12.5, 14.0, 20.5, 0.0]), "h")
    writer.add("limits/goods cold/frozen_left", np.array([0.0, 0.4, 0.0, 0.7]))
    writer.add("payload/goods/coldest", np.array([1.0, -2.0, 1.0, 3.0]), "degC")
    writer.close()
    return path


def write_words(path: Path) -> Path:
    """Two boxes that differ in words only."""
    writer = TableWriter(path, 2)
    writer.add_input("box", ["white", "blue"])
    writer.add_limit("goods cold", [ENDED, ENDED], [12.0, 10])
    writer.close()
    return path


def write_paired(path: Path) -> Path:
    """Two coolants over five samples, the second the longer in four."""
    writer = TableWriter(path, 10, samples=5)
    writer.add_input("coolant", ["ice"] * 5 + ["gel"] * 5, role="contender")
    writer.add_limit("goods cold", [ENDED] * 10, [5.0, 6, 7, 8, 9, 6, 7, 8, 9, 8])
    paired = writer.file.create_group("spread/limits/goods cold/paired")
    for name, value in {"first": 2, "second": 1, "first_longer": 4, "second_longer": 1,
                        "alike": 0, "unknown": 0}.items():
        paired.create_dataset(name, data=[value])
    data = paired.create_dataset("difference", data=[[-1.0, 1.0, 1.0]])
    data.attrs["_FillValue"] = FILL
    writer.close()
    return path


def write_samples(path: Path) -> Path:
    """Ten samples of one combination: 1 to 8 h, one outlasting and one never within."""
    writer = TableWriter(path, 10, samples=10)
    writer.add_input("air", np.linspace(20, 30, 10), "degC", role="drawn")
    outcome = [ENDED] * 8 + [OUTLASTED, NEVER_WITHIN]
    writer.add_limit("goods cold", outcome, [1.0, 2, 3, 4, 5, 6, 7, 8, 9, 0])
    writer.close()
    return path


def write_ranking(path: Path) -> Path:
    """Two ranked inputs, the second the more important."""
    writer = TableWriter(path, 8, samples=8)
    for name in ("air", "wall"):
        writer.add_input(name, np.linspace(1, 2, 8), role="drawn")
    writer.add_limit("goods cold", [ENDED] * 8, np.arange(8.0))
    spread = writer.file.create_group("spread")
    spread.create_dataset("inputs", data=np.array(["air", "wall"], dtype=object),
                          dtype=h5py.string_dtype())
    for name, values in {"first_order": [0.2, 0.6], "first_order_low": [0.1, 0.5],
                         "first_order_high": [0.3, 0.7], "total": [0.3, 0.7],
                         "total_low": [0.2, 0.6], "total_high": [0.4, 0.8]}.items():
        data = spread.create_dataset(f"limits/goods cold/{name}", data=[values])
        data.attrs["_FillValue"] = FILL
    writer.close()
    return path


def write_found(path: Path, endings=(0, 1, 2)) -> Path:
    """A search in three airs: found, jump, too short."""
    writer = TableWriter(path, 3)
    writer.add_input("air", [20.0, 25.0, 30.0], "degC")
    writer.add("find/ending", np.array(endings, dtype=np.int8),
               flag_meanings="found jump too_short too_long failed")
    writer.add("find/value", [30.0, 45.0, 90.0], "mm", "wall: the value")
    writer.add_limit("goods cold", [ENDED] * 3, [12.0, 12, 9])
    writer.close()
    return path
