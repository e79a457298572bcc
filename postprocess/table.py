"""Reads a table of cases (solver/batch/TABLE.md) into plain data."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import h5py
import numpy as np

from datasets import HistoryError, open_history, plain

TABLE_VERSION = 4
FAILED, ENDED, OUTLASTED, NEVER_WITHIN = -1, 0, 1, 2
FLAT_SHARE = 0.1


@dataclass(frozen=True, eq=False)
class Input:
    """A column of inputs.

    values: as in the plan, shape (cases,); text where the column holds texts
    units: of the values; empty for plain numbers and texts
    role: varied, contender, amount or drawn
    """

    name: str
    values: np.ndarray
    units: str
    role: str

    @property
    def is_number(self) -> bool:
        """Whether the values are numbers."""
        return self.values.dtype.kind == "f"

    @property
    def label(self) -> str:
        """Its name and unit for an axis."""
        units = {"degC": "°C"}.get(self.units, self.units)
        return f"{self.name} ({units})" if units else self.name

    def text(self, case: int) -> str:
        """The value of a case in words."""
        if not self.is_number:
            return str(self.values[case])
        units = {"degC": " °C", "": ""}.get(self.units, f" {self.units}")
        return f"{self.values[case]:.6g}{units}".replace("-", "\N{MINUS SIGN}")


@dataclass(frozen=True, eq=False)
class Held:
    """How long one limit held.

    outcome: FAILED, ENDED, OUTLASTED or NEVER_WITHIN, shape (cases,)
    hours: h, cut at the end of the run, 0 when never within, NaN when failed, shape (cases,)
    side: not_above or not_below, of the first case that tells
    least, most: h, shortest and longest time held by the limit moved by a logger's error, shape
        (cases,), NaN when failed
    frozen: share of the coolant left frozen as it ended, shape (cases,), NaN without any
    """

    name: str
    outcome: np.ndarray
    hours: np.ndarray
    side: str = "not_above"
    least: np.ndarray | None = None
    most: np.ndarray | None = None
    frozen: np.ndarray | None = None

    def is_flat(self, case: int) -> bool:
        """Whether a logger's error is worth more than a tenth of the time held."""
        if self.least is None or self.most is None or self.outcome[case] in (FAILED, NEVER_WITHIN):
            return False
        held = self.hours[case]
        return max(held - self.least[case], self.most[case] - held) > FLAT_SHARE * held

    @property
    def title(self) -> str:
        """Its name, and that it is a lower limit."""
        return f"{self.name} (not below)" if self.side == "not_below" else self.name


@dataclass(frozen=True, eq=False)
class Ranking:
    """Sobol indices of one limit, each (value, low, high) of shape (combinations, inputs, 3)."""

    inputs: tuple[str, ...]
    first_order: np.ndarray
    total: np.ndarray


@dataclass(frozen=True, eq=False)
class Found:
    """What a search found, shape (cases,): the value (NaN without one) and how it ended."""

    name: str
    units: str
    value: np.ndarray
    ending: np.ndarray
    words: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class Pair:
    """Two combinations (from 0) over the samples they share, the one that held longer more often
    first.

    longer, shorter, alike, unknown: samples in which the first held longer, less long, alike, or
        both outlasted their run
    difference: h, P10, P50, P90 of the first's hold time less the second's; NaN without any
    """

    first: int
    second: int
    longer: int
    shorter: int
    alike: int
    unknown: int
    difference: np.ndarray

    @property
    def samples(self) -> int:
        """How many were compared."""
        return self.longer + self.shorter + self.alike + self.unknown


@dataclass(frozen=True, eq=False)
class Table:
    """A whole table.

    combination: which cases differ only by what is drawn, from 0, shape (cases,)
    samples: cases drawn for each combination; 1 without tolerances
    """

    path: Path
    title: str
    inputs: tuple[Input, ...]
    limits: tuple[Held, ...]
    combination: np.ndarray
    samples: int
    rankings: tuple[Ranking | None, ...]
    found: Found | None
    reasons: tuple[str, ...] = ()
    histories: tuple[str, ...] = ()
    pairs: tuple[tuple[Pair, ...], ...] = ()
    coldest: np.ndarray | None = None

    @property
    def stem(self) -> str:
        """The name of the file without its ending."""
        return self.path.stem

    def by_role(self, role: str) -> list[Input]:
        """The inputs of one role."""
        return [column for column in self.inputs if column.role == role]

    @property
    def contender(self) -> Input | None:
        """The column that names the coolants compared."""
        return next(iter(self.by_role("contender")), None)

    @property
    def firsts(self) -> np.ndarray:
        """The first case of each combination."""
        return np.unique(self.combination, return_index=True)[1]

    def history_of(self, case: int) -> Path | None:
        """Where the history of a case lies; None where none were kept."""
        if not self.histories or not self.histories[case]:
            return None
        return self.path.with_name(f"{self.stem}-histories") / self.histories[case]


def read_table(path: Path) -> Table:
    """Read the table at `path`; raises HistoryError with one sentence."""
    with open_history(path, "table", TABLE_VERSION) as file:
        if int(file.attrs["parts"]) > 1:
            raise HistoryError(f"{path} is one part of a table; merge the parts first.")
        try:
            return _read(path, file)
        except (KeyError, OSError, ValueError) as error:
            raise HistoryError(f"{path} is damaged: {' '.join(str(error).split())}.") from error


def _read(path: Path, file: h5py.File) -> Table:
    cases = len(file["case"])
    combination = file["combination"][:] - 1 if "combination" in file else np.arange(cases)
    columns = list(file["columns"].asstr())
    limits = tuple(_read_held(column.split("/")[1], file[column].parent) for column in columns
                   if column.startswith("limits/") and column.endswith("/held"))
    return Table(
        path=path,
        title=_text(file.attrs["title"]),
        inputs=tuple(_read_input(file[column]) for column in columns
                     if column.startswith("inputs/")),
        limits=limits,
        combination=combination,
        samples=max(int(file.attrs["samples"]), 1),
        rankings=tuple(_read_ranking(file, held.name) for held in limits),
        found=_read_found(file),
        reasons=_texts(file, "reason"),
        histories=_texts(file, "history"),
        pairs=tuple(_read_pairs(file, held.name) for held in limits),
        coldest=_coldest(file, columns),
    )


def _texts(file: h5py.File, name: str) -> tuple[str, ...]:
    return tuple(plain(text) for text in file[name].asstr()[:]) if name in file else ()


def _coldest(file: h5py.File, columns: list[str]) -> np.ndarray | None:
    """degC, the coldest of all payloads of each case; NaN without any."""
    found = [_with_gaps(file[column]) for column in columns
             if column.startswith("payload/") and column.endswith("/coldest")]
    return np.fmin.reduce(found) if found else None


def _read_pairs(file: h5py.File, limit: str) -> tuple[Pair, ...]:
    group = file.get(f"spread/limits/{limit}/paired")
    if group is None:
        return ()
    counts = [group[name][:].astype(int) for name in
              ("first", "second", "first_longer", "second_longer", "alike", "unknown")]
    difference = _with_gaps(group["difference"])
    return tuple(Pair(first - 1, second - 1, *map(int, rest), difference[i])
                 for i, (first, second, *rest) in enumerate(zip(*counts)))


def _text(value) -> str:
    return plain(value.decode() if isinstance(value, bytes) else str(value))


def _read_input(data: h5py.Dataset) -> Input:
    is_text = h5py.check_string_dtype(data.dtype) is not None
    units = _text(data.attrs["units"])
    return Input(
        name=_text(data.attrs["long_name"]),
        values=np.array([plain(text) for text in data.asstr()[:]]) if is_text
        else data[:].astype(float),
        units="" if units == "1" else units,
        role=_text(data.attrs["role"]),
    )


def _with_gaps(data: h5py.Dataset) -> np.ndarray:
    values = data[:].astype(float)
    return np.where(values == data.attrs["_FillValue"], np.nan, values)


def _read_held(name: str, group: h5py.Group) -> Held:
    told = group["side"][:]
    told = told[told >= 0]
    words = _text(group["side"].attrs["flag_meanings"]).split()
    more = {field: _with_gaps(group[column]) for field, column in
            (("least", "held_least"), ("most", "held_most"), ("frozen", "frozen_left"))
            if column in group}
    return Held(name, group["outcome"][:].astype(int), _with_gaps(group["held"]),
                words[told[0]] if len(told) else words[0], **more)


def _read_ranking(file: h5py.File, limit: str) -> Ranking | None:
    if "spread/inputs" not in file:
        return None
    group = file[f"spread/limits/{limit}"]

    def estimates(name: str) -> np.ndarray:
        return np.stack([_with_gaps(group[name + end]) for end in ("", "_low", "_high")], axis=-1)

    return Ranking(tuple(file["spread/inputs"].asstr()[:]), estimates("first_order"),
                   estimates("total"))


def _read_found(file: h5py.File) -> Found | None:
    if "find" not in file:
        return None
    value = file["find/value"]
    units = _text(value.attrs["units"])
    ending = file["find/ending"]
    return Found(
        name=_text(value.attrs["long_name"]).removesuffix(": the value"),
        units="" if units == "1" else units,
        value=_with_gaps(value),
        ending=ending[:].astype(int),
        words=tuple(_text(ending.attrs["flag_meanings"]).split()),
    )
