"""The section of a two-dimensional run: its grid, and its fields as arrays over the whole cut."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from datasets import Source


@dataclass(frozen=True, eq=False)
class Surfaces:
    """The faces of the section towards the air, packs and surroundings.

    cell: index of the cell behind, shape (S,)
    axis: 0 normal to x, 1 normal to z; outer: meets the surroundings
    x, z: m; area: m2; conductance: W/K from the surface to its cell
    temperature: K, shape (T, S)
    """

    cell: np.ndarray
    axis: np.ndarray
    outer: np.ndarray
    x: np.ndarray
    z: np.ndarray
    area: np.ndarray
    conductance: np.ndarray
    temperature: np.ndarray

    def pieces(self, section: Section, i: int) -> list:
        """The lines of surface `i` in both halves of the section, mm."""
        x, z = 1000 * self.x[i], 1000 * self.z[i]
        if self.axis[i] == 0:
            low, high = _interval(1000 * section.z, z)
            return [[(x, low), (x, high)], [(-x, low), (-x, high)]]
        low, high = _interval(1000 * section.x, x)
        return [[(low, z), (high, z)], [(-low, z), (-high, z)]]


def _interval(lines: np.ndarray, value: float) -> tuple[float, float]:
    above = int(np.searchsorted(lines, value))
    return lines[above - 1], lines[above]


@dataclass(frozen=True, eq=False)
class Regions:
    """Rectangles of the inside with a temperature of their own: air, rows of cans, blocks.

    corners: m, x from and to, z from and to, shape (R, 4)
    first, cells: the cells of each; item: -1 for air
    volume: m3, of all cells of the run
    """

    corners: np.ndarray
    first: np.ndarray
    cells: np.ndarray
    item: np.ndarray
    volume: np.ndarray

    def temperature(self, values: np.ndarray) -> np.ndarray:
        """Mean of each, K, from the temperatures of all cells at one instant."""
        spans = [slice(a, a + n) for a, n in zip(self.first, self.cells)]
        return np.array([np.average(values[s], weights=self.volume[s]) for s in spans])

    def rectangles(self, i: int) -> list:
        """Corner, width and height of region `i` in both halves of the section, mm."""
        x0, x1, z0, z1 = 1000 * self.corners[i]
        return [((x0, z0), x1 - x0, z1 - z0), ((-x1, z0), x1 - x0, z1 - z0)]


@dataclass(frozen=True, eq=False)
class Section:
    """A tensor grid from the middle (or the axis) outward.

    x, z: lines in m; cell: index of the cell by row and column, -1 for none
    """

    round: bool
    x: np.ndarray
    z: np.ndarray
    cell: np.ndarray
    surfaces: Surfaces | None
    regions: Regions | None = None

    @property
    def x_lines(self) -> np.ndarray:
        """Lines of the whole section, both halves, m."""
        return np.concatenate([-self.x[:0:-1], self.x])

    def over_the_cut(self, values: np.ndarray) -> np.ma.MaskedArray:
        """`values` by cell of one instant as rows and columns of the whole section."""
        half = np.ma.masked_where(self.cell < 0, values[np.maximum(self.cell, 0)])
        return np.ma.concatenate([half[:, ::-1], half], axis=1)


def read_section(source: Source, cells: int) -> Section | None:
    """The section in a history, None for a run of one dimension."""
    if not source.has("/grid/section/x"):
        return None
    x = source.values("/grid/section/x", "m")
    z = source.values("/grid/section/z", "m")
    cell = source.table("/grid/section/cell", (len(z) - 1, len(x) - 1))
    source.require_indices("/grid/section/cell", cell, -1, cells)
    return Section(bool(source.whole_attribute("/grid/section", "round")), x, z, cell,
                   _surfaces(source), _regions(source, cells))


def _regions(source: Source, cells: int) -> Regions | None:
    if not source.has("/grid/region/first"):
        return None
    first = source.integers("/grid/region/first")
    many = source.integers("/grid/region/cells", len(first))
    source.require_indices("/grid/region/first", first, 0, cells)
    source.require_indices("/grid/region/cells", first + many - 1, 0, cells)
    corners = np.column_stack([source.values(f"/grid/region/{end}", "m", len(first))
                               for end in ("x_from", "x_to", "z_from", "z_to")])
    return Regions(corners, first, many, source.integers("/grid/region/item", len(first)),
                   source.values("/grid/volume", "m3", cells))


def _surfaces(source: Source) -> Surfaces | None:
    if not source.has("/fields/surface_temperature"):
        return None
    cell = source.integers("/grid/surface/cell")
    count = len(cell)
    return Surfaces(
        cell=cell,
        axis=source.integers("/grid/surface/axis", count),
        outer=source.integers("/grid/surface/outer", count) == 1,
        x=source.values("/grid/surface/x", "m", count),
        z=source.values("/grid/surface/z", "m", count),
        area=source.values("/grid/surface/area", "m2", count),
        conductance=source.values("/grid/surface/conductance", "W/K", count),
        temperature=source.series("/fields/surface_temperature", "K", count),
    )
