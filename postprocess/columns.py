"""Columns of cells, as the time-depth picture needs them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from history import Fields, Grid, History


@dataclass(frozen=True, eq=False)
class Layer:
    """Neighbouring cells of one part.

    edges: m, shape (n + 1,), from the inner end outward
    temperature: K, shape (T, n), NaN while the part is absent
    liquid_fraction: 1, shape (T, n), NaN where nothing melts or the part is absent
    """

    part: str
    edges: np.ndarray
    temperature: np.ndarray
    liquid_fraction: np.ndarray


@dataclass(frozen=True, eq=False)
class Column:
    """A named stack of layers."""

    name: str
    layers: tuple[Layer, ...]


def chosen_columns(grid: Grid) -> list[int]:
    """The columns worth a picture, in order: each coolant with the wall it lies on; without a
    coolant that has depth, the walls at the ice, else the first wall."""
    walls = _columns_with(grid, "wall")
    chosen = []
    for k in _columns_with(grid, "coolant"):
        beneath = "under " + grid.column_names[k].removeprefix("through ")
        chosen += [k] + [w for w in walls if grid.column_names[w].endswith(" " + beneath)]
    at_ice = [w for w in walls if grid.column_names[w].endswith(" at the ice")]
    return chosen or at_ice or walls[:1]


def build_column(history: History, fields: Fields, index: int) -> Column:
    """The column `index` of the grid with its values over time."""
    grid = history.grid
    cells = np.flatnonzero(grid.column == index)
    cells = cells[np.argsort(grid.depth[cells], kind="stable")]
    inner = grid.depth[cells] - grid.width[cells] / 2
    outer = grid.depth[cells] + grid.width[cells] / 2
    parted = np.diff(grid.part[cells]) != 0
    spaced = np.abs(inner[1:] - outer[:-1]) > 1e-3 * np.minimum(
        grid.width[cells[1:]], grid.width[cells[:-1]]
    )
    starts = np.flatnonzero(parted | spaced) + 1
    layers = []
    for members in np.split(np.arange(len(cells)), starts):
        part = grid.part_names[grid.part[cells[members[0]]]]
        absent = _absent(history, part)[:, None]
        layers.append(Layer(
            part=part,
            edges=np.append(inner[members], outer[members[-1]]),
            temperature=np.where(absent, np.nan, fields.temperature[:, cells[members]]),
            liquid_fraction=np.where(absent, np.nan, fields.liquid_fraction[:, cells[members]]),
        ))
    return Column(grid.column_names[index], tuple(layers))


def _columns_with(grid: Grid, kind: str) -> list[int]:
    parts = [i for i, name in enumerate(grid.part_names) if name.split(" ")[0] == kind]
    found = np.unique(grid.column[np.isin(grid.part, parts)])
    return [int(column) for column in found if column >= 0]


def _absent(history: History, part: str) -> np.ndarray:
    """Whether the coolant or payload behind `part` has no mass, shape (T,)."""
    for kind, contents in (("coolant", history.coolants), ("payload", history.payloads)):
        for content in contents:
            if part in (content.name, f"{kind} {content.name}"):
                return content.mass <= 0
    return np.zeros(len(history.time), dtype=bool)
