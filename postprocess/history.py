"""Reads a Thawline history file (layout version 3) into plain value types.

Everything stays in SI units.  Instants that never came are None, and liquid fractions
of what is absent or does not melt are NaN.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import h5py
import numpy as np

from datasets import HistoryError, Source, open_history
from section import Section, read_section

LAYOUT_VERSION = 3


@dataclass(frozen=True, eq=False)
class Probe:
    """A named thermometer; `temperature` in K, shape (T,)."""

    name: str
    temperature: np.ndarray


@dataclass(frozen=True, eq=False)
class Content:
    """A coolant or a payload.

    liquid_fraction: 1, shape (T,), NaN while absent
    mass: kg, shape (T,)
    marked_at: s, when a coolant is spent or a payload starts to freeze; None when never
    """

    name: str
    liquid_fraction: np.ndarray
    mass: np.ndarray
    marked_at: float | None


@dataclass(frozen=True, eq=False)
class HeatPath:
    """A way for heat to come in; `heat` cumulative in J, positive inward, shape (T,)."""

    name: str
    heat: np.ndarray


@dataclass(frozen=True)
class Limit:
    """A temperature (K) not to be passed by the named probes, and what became of it.

    upper: the probes may not be above it, else not below it
    chill_time, hold_time, end_time: s, None when they never came
    worst: K, the warmest (coldest of a lower limit) of the probes once within it; None if never
    logger_error: K, how far a reading may be off
    held_least, held_most: s, shortest and longest time held by the limit moved by so much; None
        where the curve is steep and they are as good as the hold time
    ended: what ended it in a sentence; empty where nothing did
    """

    name: str
    temperature: float
    probes: tuple[str, ...]
    chill_time: float | None
    hold_time: float | None
    end_time: float | None
    upper: bool = True
    worst: float | None = None
    logger_error: float = 0.5
    held_least: float | None = None
    held_most: float | None = None
    ended: str = ""

    @property
    def words(self) -> str:
        """What is allowed, such as `not above`."""
        return "not above" if self.upper else "not below"


@dataclass(frozen=True, eq=False)
class Grid:
    """The cells.

    part, column: indices into the names, shape (C,); column is -1 for a lumped cell
    depth, width: m, shape (C,)
    """

    part: np.ndarray
    part_names: tuple[str, ...]
    column: np.ndarray
    column_names: tuple[str, ...]
    depth: np.ndarray
    width: np.ndarray


@dataclass(frozen=True, eq=False)
class Fields:
    """Values in every cell, shape (T, C).

    temperature: K
    liquid_fraction: 1, NaN in cells that do not melt
    """

    temperature: np.ndarray
    liquid_fraction: np.ndarray


@dataclass(frozen=True, eq=False)
class History:
    """One run; `time` in s, shape (T,); `stored` in J, shape (T,); `fields` None when off.

    section: None for a run of one dimension
    """

    path: Path
    title: str
    completed: bool
    time: np.ndarray
    grid: Grid
    fields: Fields | None
    probes: tuple[Probe, ...]
    coolants: tuple[Content, ...]
    payloads: tuple[Content, ...]
    heat_paths: tuple[HeatPath, ...]
    stored: np.ndarray
    limits: tuple[Limit, ...]
    section: Section | None = None

    @property
    def stem(self) -> str:
        """The file's name without `.h5` or `.h5.part`."""
        return self.path.name.removesuffix(".part").removesuffix(".h5")

    @property
    def notice(self) -> str | None:
        """What a reader must know about an unfinished run; None for a whole one."""
        if self.completed:
            return None
        return f"this run was not completed: it stops at {self.time[-1] / 3600:.1f} h"

    def probes_of(self, limit: Limit) -> tuple[Probe, ...]:
        """The probes `limit` watches, in the order of the file."""
        return tuple(probe for probe in self.probes if probe.name in limit.probes)


def read_history(path: Path | str) -> History:
    """Read the history at `path`; HistoryError says in one sentence what is wrong with it."""
    path = Path(path)
    with open_history(path, "history", LAYOUT_VERSION) as file:
        try:
            return _read(path, file)
        except (OSError, RuntimeError, ValueError, TypeError) as error:
            reason = " ".join(str(error).split())
            raise HistoryError(f"{path} cannot be read as a history: {reason}.") from error


def _read(path: Path, file: h5py.File) -> History:
    completed = bool(file.attrs.get("completed", 0))
    source = Source(path, file, completed)
    time = source.series("/time", "s")
    instants = source.instants
    if instants == 0:
        raise HistoryError(f"{path} holds no instants yet.")
    if np.any(np.diff(time) <= 0):
        raise HistoryError(f"{path} has instants in /time that do not increase.")
    grid = _grid(source)
    return History(
        path=path,
        title=source.text_attribute("title"),
        completed=completed,
        time=time,
        grid=grid,
        fields=_fields(source, len(grid.part)),
        probes=_probes(source),
        coolants=_contents(source, "coolant", "spent_at"),
        payloads=_contents(source, "payload", "freezing_at"),
        heat_paths=_heat_paths(source),
        stored=source.series("/budget/stored", "J"),
        limits=_limits(source),
        section=read_section(source, len(grid.part)),
    )


def _grid(source: Source) -> Grid:
    part = source.integers("/grid/part")
    cells = len(part)
    grid = Grid(
        part=part,
        part_names=source.names("/grid/part_names"),
        column=source.integers("/grid/column", cells),
        column_names=source.names("/grid/column_names"),
        depth=source.values("/grid/depth", "m", cells),
        width=source.values("/grid/width", "m", cells),
    )
    source.require_indices("/grid/part", part, 0, len(grid.part_names))
    source.require_indices("/grid/column", grid.column, -1, len(grid.column_names))
    if np.any(grid.width[grid.column >= 0] <= 0):
        raise HistoryError(f"{source.path} has cells without thickness in a column.")
    return grid


def _fields(source: Source, cells: int) -> Fields | None:
    if not source.has("/fields/temperature"):
        return None
    return Fields(
        temperature=source.series("/fields/temperature", "K", cells),
        liquid_fraction=_gap_where_negative(
            source.series("/fields/liquid_fraction", "1", cells)
        ),
    )


def _probes(source: Source) -> tuple[Probe, ...]:
    names = source.names("/probes/names")
    temperature = source.series("/probes/temperature", "K", len(names))
    return tuple(Probe(name, temperature[:, i]) for i, name in enumerate(names))


def _contents(source: Source, group: str, marked: str) -> tuple[Content, ...]:
    names = source.names(f"/{group}/names")
    count = len(names)
    fraction = _gap_where_negative(
        source.series(f"/{group}/liquid_fraction", "1", count)
    )
    mass = source.series(f"/{group}/mass", "kg", count)
    marks = source.outcomes(f"/{group}/{marked}", count)
    return tuple(
        Content(name, fraction[:, i], mass[:, i], marks[i])
        for i, name in enumerate(names)
    )


def _heat_paths(source: Source) -> tuple[HeatPath, ...]:
    names = source.names("/budget/names")
    heat = source.series("/budget/heat", "J", len(names))
    return tuple(HeatPath(name, heat[:, i]) for i, name in enumerate(names))


def _limits(source: Source) -> tuple[Limit, ...]:
    names = source.names("/limits/names")
    count = len(names)
    temperature = source.values("/limits/temperature", "K", count)
    watched = source.names("/limits/probes", count)
    side = source.names("/limits/side", count)
    worst = source.outcomes("/limits/worst", count, "K")
    chill = source.outcomes("/limits/chill_time", count)
    hold = source.outcomes("/limits/hold_time", count)
    end = source.outcomes("/limits/end_time", count)
    error = source.values("/limits/logger_error", "K", count)
    worth = _worth(source, count)
    ended = source.names("/limits/ended_sentence", count) if worth else ("",) * count
    return tuple(
        Limit(
            name=name,
            temperature=float(temperature[i]),
            probes=tuple(watched[i].split(", ")),
            chill_time=chill[i],
            hold_time=hold[i],
            end_time=end[i],
            upper=side[i] != "not_below",
            worst=worst[i],
            logger_error=float(error[i]),
            held_least=worth[i][0] if worth else None,
            held_most=worth[i][1] if worth else None,
            ended=ended[i],
        )
        for i, name in enumerate(names)
    )


def _worth(source: Source, count: int) -> list[tuple[float | None, float | None]]:
    """Shortest and longest time held of each limit where its curve is flat; empty while a run is
    under way."""
    if not source.has("/limits/flat"):
        return []
    held = [source.values(f"/limits/{name}", "s", count)
            for name in ("held", "held_tighter", "held_looser")]
    flat = source.integers("/limits/flat", count)
    return [(float(min(times)), float(max(times))) if flat[i] else (None, None)
            for i, times in enumerate(zip(*held))]


def _gap_where_negative(fraction: np.ndarray) -> np.ndarray:
    gapped = np.where(fraction < 0, np.nan, fraction)
    gapped.flags.writeable = False
    return gapped
