"""The picture of a section at chosen times: temperature, isotherms and melt front; and as a film."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from matplotlib.animation import FuncAnimation, PillowWriter
from matplotlib.axes import Axes
from matplotlib.collections import LineCollection, PatchCollection
from matplotlib.colors import Normalize
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

import look
from history import History
from section import Regions, Section

FRAMES = 6
FILM_FRAMES = 60
ISOTHERMS = 8


def draw(history: History, figure) -> None:
    """Draw the section of `history` at six instants."""
    look.heading(figure, "The section over time")
    if not _can_draw(history, figure):
        return
    chosen = frame_indices(len(history.time), FRAMES)
    colours = _scale(history)
    panels = figure.subplots(2, FRAMES // 2, sharex=True, sharey=True).ravel()
    for axes, index in zip(panels, chosen):
        mesh = draw_frame(history, index, axes, colours)
    for axes in panels[len(chosen):]:
        axes.set_axis_off()
    _name_axes(figure)
    _bar(figure, mesh, list(panels))


class SignedWriter(PillowWriter):
    """Writes a GIF with a comment that says who made it."""

    def finish(self) -> None:
        self._frames[0].save(self.outfile, save_all=True, append_images=self._frames[1:],
                             duration=int(1000 / self.fps), loop=0,
                             comment=self.metadata["comment"].encode())


def film(history: History, path: Path, creator: str) -> bool:
    """Write the section of `history` over time as a GIF, signed by `creator`.

    False when there is none to show.
    """
    figure = Figure(figsize=(6.4, 5.4), layout="constrained")
    if not _can_draw(history, figure):
        return False
    axes = figure.subplots()
    colours = _scale(history)
    chosen = frame_indices(len(history.time), FILM_FRAMES)
    _bar(figure, draw_frame(history, chosen[0], axes, colours), [axes])
    _name_axes(figure)

    def show(index: int) -> None:
        axes.clear()
        draw_frame(history, index, axes, colours)

    FuncAnimation(figure, show, frames=chosen).save(path, dpi=80,
                                                      writer=SignedWriter(fps=8, metadata={"comment": creator}))
    return True


def frame_indices(instants: int, count: int) -> list[int]:
    """At most `count` indices spread evenly over `instants`, with the first and the last."""
    return sorted({int(i) for i in np.round(np.linspace(0, instants - 1, count))})


def draw_frame(history: History, index: int, axes: Axes, colours: Normalize):
    """Draw one instant; returns what a colour bar is made from."""
    section = history.section
    x = 1000 * section.x_lines
    z = 1000 * section.z
    temperature = look.celsius(section.over_the_cut(history.fields.temperature[index]))
    axes.set_facecolor(_air_colour(history, index, colours))
    if section.regions is not None:
        draw_regions(section.regions, history.fields.temperature[index], axes, colours)
    mesh = axes.pcolormesh(x, z, temperature, cmap=look.TEMPERATURE_MAP, norm=colours,
                           shading="flat", rasterized=True)
    centre_x = (x[1:] + x[:-1]) / 2
    centre_z = (z[1:] + z[:-1]) / 2
    coldest, warmest = np.nanmin(temperature), np.nanmax(temperature)
    levels = [level for level in isotherm_levels(colours) if coldest < level < warmest]
    if levels:
        axes.contour(centre_x, centre_z, temperature, levels=levels, colors="black", linewidths=0.5,
                     alpha=0.6)
    fraction = np.ma.masked_invalid(
        section.over_the_cut(history.fields.liquid_fraction[index])
    )
    if fraction.count() and fraction.min() < 0.5 < fraction.max():
        axes.contour(centre_x, centre_z, fraction, levels=[0.5], colors="white", linewidths=2.2)
    if section.surfaces is not None:
        axes.add_collection(LineCollection(inner_outlines(section), colors=look.INK,
                                           linewidths=0.9))
    axes.set_aspect("equal")
    axes.grid(False)
    axes.set_title(look.hours_text(history.time[index]))
    return mesh


def draw_regions(regions: Regions, values: np.ndarray, axes: Axes, colours: Normalize) -> None:
    """Draw the air by place, and rows of cans and blocks with an outline on it."""
    temperature = look.celsius(regions.temperature(values))
    for air in (True, False):
        chosen = np.flatnonzero((regions.item < 0) == air)
        patches = [Rectangle(*r) for i in chosen for r in regions.rectangles(i)]
        filled = PatchCollection(patches, cmap=look.TEMPERATURE_MAP, norm=colours,
                                 edgecolor="none" if air else look.INK,
                                 linewidth=0 if air else 0.8)
        filled.set_array(np.repeat(temperature[chosen], 2))
        axes.add_collection(filled)


def inner_outlines(section: Section) -> list:
    """Line pieces around the inside of the walls and around packs, both halves, mm."""
    surfaces = section.surfaces
    return [piece for i in np.flatnonzero(~surfaces.outer) for piece in surfaces.pieces(section, i)]


def isotherm_levels(colours: Normalize) -> np.ndarray:
    """Whole or half degrees, about eight of them over the scale."""
    span = colours.vmax - colours.vmin
    steps = np.array([0.5, 1, 2, 5, 10, 20])
    step = steps[np.argmin(np.abs(span / steps - ISOTHERMS))]
    return np.arange(np.ceil(colours.vmin / step) * step, colours.vmax, step)


def _can_draw(history: History, figure) -> bool:
    if history.section is None:
        look.say_instead(figure, "This run has no section; detail: 2d makes one.")
        return False
    if history.fields is None:
        look.say_instead(figure, "This run kept no fields, so there is no section to show.")
        return False
    return True


def _scale(history: History) -> Normalize:
    cells = history.section.cell[history.section.cell >= 0]
    values = look.celsius(history.fields.temperature[:, cells])
    return Normalize(values.min(), max(values.max(), values.min() + 0.1))


def _air_colour(history: History, index: int, colours: Normalize):
    from matplotlib import colormaps

    air = next((p for p in history.probes if p.name == "air"), None)
    if air is None:
        return look.ABSENT
    return colormaps[look.TEMPERATURE_MAP](colours(look.celsius(air.temperature[index])))


def _name_axes(figure) -> None:
    figure.supxlabel("From the middle (mm)", fontsize=11.5)
    figure.supylabel("Above the floor inside (mm)", fontsize=11.5)


def _bar(figure, mesh, panels: list[Axes]) -> None:
    bar = figure.colorbar(mesh, ax=panels, pad=0.02, aspect=30)
    bar.set_label("Temperature (°C); lines: isotherms, white: half melted")
    bar.outline.set_visible(False)
