"""Reads the file of a trial (solver/trial/TRIAL.md) into plain data. SI units."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import h5py
import numpy as np

from datasets import HistoryError, open_history, plain

TRIAL_VERSION = 1


@dataclass(frozen=True, eq=False)
class Channel:
    """Readings of one channel beside the curve of its probe.

    probe: empty for the room, which nothing computed stands for
    time: s since packing; measured, computed: K; used: bool; all of shape (readings,)
    """

    name: str
    probe: str
    time: np.ndarray
    measured: np.ndarray
    computed: np.ndarray
    used: np.ndarray


@dataclass(frozen=True)
class Hold:
    """A limit (K) and when it was passed (s), None where it never was."""

    name: str
    temperature: float
    computed: float | None
    measured: float | None


@dataclass(frozen=True, eq=False)
class Logged:
    """One record; `left_out` holds (from s, to s, why)."""

    name: str
    duration: float
    channels: tuple[Channel, ...]
    holds: tuple[Hold, ...]
    left_out: tuple[tuple[float, float, str], ...]


@dataclass(frozen=True, eq=False)
class Learnt:
    """Fitted values with their 95 % intervals and bounds, in `units`; all of shape (values,)."""

    names: tuple[str, ...]
    units: tuple[str, ...]
    value: np.ndarray
    low: np.ndarray
    high: np.ndarray
    told: np.ndarray
    correlation: np.ndarray


@dataclass(frozen=True, eq=False)
class Trial:
    """What `thawline overlay` or `thawline fit` wrote; `learnt` is None for an overlay."""

    path: Path
    title: str
    records: tuple[Logged, ...]
    learnt: Learnt | None

    @property
    def stem(self) -> str:
        """What its pictures are named by."""
        return self.path.stem


def read_trial(path: Path) -> Trial:
    """Read `path`; raise HistoryError with one sentence when it cannot be used."""
    with open_history(path, "trial", TRIAL_VERSION) as file:
        try:
            records = tuple(_record(file["records"][name]) for name in sorted(file["records"]))
            learnt = _learnt(file["fit"]) if "fit" in file else None
            return Trial(path, _text(file, "title"), records, learnt)
        except (KeyError, ValueError, TypeError) as error:
            raise HistoryError(f"{path} lacks a part of a trial ({error}).") from error


def _text(group: h5py.Group, name: str) -> str:
    value = group.attrs[name]
    return plain(value.decode(errors="replace") if isinstance(value, bytes) else str(value)).strip()


def _texts(dataset: h5py.Dataset) -> tuple[str, ...]:
    return tuple(plain(t).strip() for t in dataset.asstr(errors="replace")[...].reshape(-1))


def _record(group: h5py.Group) -> Logged:
    parts = np.asarray(group["left_out"]).reshape(-1, 2) if group["left_out"].size else []
    why = _texts(group["left_out_why"]) if "left_out_why" in group else ()
    return Logged(
        _text(group, "name"), float(group["duration"][0]),
        tuple(_channel(group["channels"][name]) for name in sorted(group["channels"])),
        tuple(_hold(group["holds"][name]) for name in sorted(group["holds"])),
        tuple((float(a), float(b), w) for (a, b), w in zip(parts, why)),
    )


def _channel(group: h5py.Group) -> Channel:
    columns = [np.asarray(group[name], dtype=float) for name in ("time", "measured", "computed")]
    return Channel(_text(group, "name"), _text(group, "probe"), *columns,
                   np.asarray(group["used"]) != 0)


def _hold(group: h5py.Group) -> Hold:
    def instant(value: float) -> float | None:
        return None if np.isnan(value) else float(value)

    return Hold(_text(group, "name"), float(group["limit"][0]), instant(group["computed"][1]),
                instant(group["measured"][1]))


def _learnt(group: h5py.Group) -> Learnt:
    root = np.asarray(group["root"])
    covariance = root @ root.T
    spread = np.sqrt(np.maximum(np.diag(covariance), 1e-300))
    return Learnt(_texts(group["names"]), _texts(group["units"]),
                  *(np.asarray(group[name], dtype=float) for name in ("value", "low", "high")),
                  np.asarray(group["told"]) != 0, covariance / np.outer(spread, spread))
