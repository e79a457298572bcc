"""Writes small histories by the layout, with invented but plausible numbers.

A box of ice warms in a 30 degC room over 48 h.  Ice melts from 1 h on, is spent at 30 h;
gel is put in at 6 h, and taken out half melted at 18 h.
"""

from __future__ import annotations

import hashlib
from pathlib import Path

import h5py
import numpy as np

from mark import MARK_BYTES, SUM_WORDS

ZERO_C = 273.15
HOUR = 3600.0
SPENT_AT = 30 * HOUR
LIMIT = ZERO_C + 8
END_AT = 33.6 * HOUR
FREEZING_AT = 9 * HOUR
GEL_IN, GEL_OUT = 6 * HOUR, 18 * HOUR
FINAL_HEAT = {"base": 0.9e6, "lid": 0.6e6, "sides": 1.2e6, "gasket": 0.15e6,
              "openings": 0.45e6, "drained water": -0.3e6}
PARTS = ("coolant ice", "liner", "wall base", "outer shell", "wall side", "payload cans",
         "coolant gel")
COLUMNS = ("base under ice", "side", "gel pack")

# part, column, width in m, from the inner end outward
CELLS = (
    [(0, 0, 0.010)] * 6 + [(1, 0, 0.002)] + [(2, 0, 0.008)] * 5 + [(3, 0, 0.003)]
    + [(1, 1, 0.002)] + [(4, 1, 0.008)] * 5 + [(3, 1, 0.003)]
    + [(6, 2, 0.006)] * 3 + [(1, 2, 0.002)]
    + [(5, -1, 0.0)]
)


def write_history(path: Path, completed: int = 1, last_hour: float = 48.0,
                  warmer: float = 0.0) -> Path:
    """Write a history to `path`; `warmer` (K) shifts the probes that the limit watches."""
    time = np.arange(0, last_hour + 0.25, 0.5) * HOUR
    with h5py.File(path, "w", userblock_size=MARK_BYTES) as file:
        file.attrs.update(layout_version=3, program="thawline", program_version="0",
                          title="Picnic box in a warm room", completed=completed)
        _put(file, "/time", time, "s")
        _grid(file)
        _fields(file, time)
        _probes(file, time, warmer)
        _contents(file, time)
        _budget(file, time)
        if completed:
            _outcomes(file)
        _limits(file, completed)
    sign(path, "history", 3, bool(completed))
    return path


def sign(path: Path, kind: str, version: int, finished: bool = True) -> None:
    """Write the mark of a file, with the checksum of its bytes when it is finished."""
    content = bytearray(path.read_bytes())
    said = SUM_WORDS + hashlib.sha256(content[MARK_BYTES:]).hexdigest() if finished else "unfinished"
    content[:MARK_BYTES] = f"Thawline {kind} {version}\n{said}\n".encode().ljust(MARK_BYTES, b"\n")
    path.write_bytes(content)


def melted(time: np.ndarray) -> np.ndarray:
    """Liquid fraction of the ice, shape (T,)."""
    return np.clip((time - HOUR) / (SPENT_AT - HOUR), 0, 1)


def gel_present(time: np.ndarray) -> np.ndarray:
    """Whether the gel is in the box, shape (T,)."""
    return (time >= GEL_IN) & (time < GEL_OUT)


def drink(time: np.ndarray) -> np.ndarray:
    """Temperature of the drink in K, shape (T,).

    From 7.9 degC past 5 degC at 2 h to 2 degC while ice lasts, then up past 8 degC.
    """
    rate = (LIMIT - ZERO_C - 2) / (END_AT - SPENT_AT)
    cooling = 5.9 * np.exp(-time / (2 * HOUR) * np.log(5.9 / 3))
    return ZERO_C + 2 + cooling + rate * np.clip(time - SPENT_AT, 0, None) * 30 * HOUR / (
        30 * HOUR + np.clip(time - END_AT, 0, None) * 2
    )


def _put(file: h5py.File, name: str, values: object, units: str) -> None:
    if isinstance(values, (tuple, list)) and all(isinstance(v, str) for v in values):
        dataset = file.create_dataset(name, data=list(values), dtype=h5py.string_dtype())
    else:
        dataset = file.create_dataset(name, data=values)
    dataset.attrs["units"] = units
    dataset.attrs["long_name"] = name.rsplit("/", 1)[-1]


def _grid(file: h5py.File) -> None:
    part, column, width = (np.array(values) for values in zip(*CELLS))
    depth = np.zeros(len(width))
    for index in range(len(COLUMNS)):
        members = column == index
        depth[members] = np.cumsum(width[members]) - width[members] / 2
    _put(file, "/grid/part", part, "1")
    _put(file, "/grid/part_names", PARTS, "1")
    _put(file, "/grid/column", column, "1")
    _put(file, "/grid/column_names", COLUMNS, "1")
    _put(file, "/grid/depth", depth, "m")
    _put(file, "/grid/width", width, "m")
    _put(file, "/grid/volume", np.where(width > 0, width * 0.1, 0.005), "m3")


def _fields(file: h5py.File, time: np.ndarray) -> None:
    part, column, _ = (np.array(values) for values in zip(*CELLS))
    temperature = np.empty((len(time), len(part)))
    fraction = np.full_like(temperature, -1.0)
    inner = np.where(time < SPENT_AT, ZERO_C, drink(time) - 2)
    for index in range(-1, len(COLUMNS)):
        members = np.flatnonzero(column == index)
        melting = np.isin(part[members], (0, 6))
        solid_wall = np.cumsum(~melting) / max(np.sum(~melting), 1)
        temperature[:, members] = inner[:, None] + (ZERO_C + 30 - inner[:, None]) * solid_wall
        count = melting.sum()
        for k, member in enumerate(members[melting]):
            share = np.clip(melted(time) * count - (count - 1 - k), 0, 1)
            fraction[:, member] = share
            temperature[:, member] = inner - 4 * (share == 0) * np.exp(-time / HOUR)
    _put(file, "/fields/temperature", temperature, "K")
    _put(file, "/fields/enthalpy", 1e4 * (temperature - ZERO_C), "J")
    _put(file, "/fields/liquid_fraction", fraction, "1")


def _probes(file: h5py.File, time: np.ndarray, warmer: float) -> None:
    room = ZERO_C + 30 + 3 * np.sin(2 * np.pi * time / (24 * HOUR))
    fish = drink(time) - 1.5
    _put(file, "/probes/names", ("drink", "fish", "room"), "1")
    _put(file, "/probes/temperature",
         np.stack([drink(time) + warmer, fish + warmer, room], axis=1), "K")


def _contents(file: h5py.File, time: np.ndarray) -> None:
    inside = gel_present(time)
    gel = np.where(inside, 0.5 * (time - GEL_IN) / (GEL_OUT - GEL_IN), -1.0)
    _put(file, "/coolant/names", ("ice", "gel"), "1")
    _put(file, "/coolant/liquid_fraction", np.stack([melted(time), gel], axis=1), "1")
    _put(file, "/coolant/mass",
         np.stack([np.full(len(time), 4.0), np.where(inside, 1.0, 0.0)], axis=1), "kg")
    cans = 1 - 0.2 * np.clip(np.sin(np.pi * (time - FREEZING_AT) / (12 * HOUR)), 0, 1) * (
        (time > FREEZING_AT) & (time < FREEZING_AT + 12 * HOUR))
    _put(file, "/payload/names", ("cans", "bread"), "1")
    _put(file, "/payload/liquid_fraction",
         np.stack([cans, np.full(len(time), -1.0)], axis=1), "1")
    _put(file, "/payload/mass", np.tile([3.0, 0.5], (len(time), 1)), "kg")


def _budget(file: h5py.File, time: np.ndarray) -> None:
    heat = np.outer(time / (48 * HOUR), list(FINAL_HEAT.values()))
    _put(file, "/budget/names", tuple(FINAL_HEAT), "1")
    _put(file, "/budget/heat", heat, "J")
    _put(file, "/budget/stored", heat.sum(axis=1), "J")


def _outcomes(file: h5py.File) -> None:
    _put(file, "/coolant/spent_at", [SPENT_AT, -1.0], "s")
    _put(file, "/payload/freezing_at", [FREEZING_AT, -1.0], "s")


def _limits(file: h5py.File, completed: int) -> None:
    _put(file, "/limits/names", ("food", "beer"), "1")
    _put(file, "/limits/temperature", [LIMIT, ZERO_C + 5], "K")
    _put(file, "/limits/probes", ("drink, fish", "drink"), "1")
    _put(file, "/limits/side", ("not_above", "not_above"), "1")
    _put(file, "/limits/logger_error", [0.5, 0.5], "K")
    if completed:
        _put(file, "/limits/held", [END_AT, 29.8 * HOUR], "s")
        _put(file, "/limits/held_tighter", [END_AT - HOUR, 12.0 * HOUR], "s")
        _put(file, "/limits/held_looser", [END_AT + HOUR, 40.0 * HOUR], "s")
        _put(file, "/limits/flat", [0, 1], "1")
        _put(file, "/limits/ended_sentence", ("'ice' was spent 2 h before", ""), "1")
        _put(file, "/limits/chill_time", [0.0, 2 * HOUR], "s")
        _put(file, "/limits/hold_time", [END_AT, 29.8 * HOUR], "s")
        _put(file, "/limits/end_time", [END_AT, 31.8 * HOUR], "s")
        _put(file, "/limits/worst", [ZERO_C + 9, ZERO_C + 9], "K")
