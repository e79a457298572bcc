"""The picture of heat that enters through walls, edges and corners of a section."""

from __future__ import annotations

import numpy as np
from matplotlib.collections import LineCollection

import look
from history import History
from section import Section, Surfaces


def draw(history: History, figure) -> None:
    """Draw the mean heat flow through each place of the section's outer surface."""
    look.heading(figure, "Heat in through walls, edges and corners, mean over the run")
    if history.section is None or history.section.surfaces is None:
        look.say_instead(figure, "This run kept no section, so there is no heat flow to show.")
        return
    section = history.section
    flux = mean_flux(history, section.surfaces)
    left, right = figure.subplots(1, 2, width_ratios=(1.0, 1.15))
    _draw_map(section, section.surfaces, flux, left, figure)
    _draw_lines(section, section.surfaces, flux, right)


def mean_flux(history: History, surfaces: Surfaces) -> np.ndarray:
    """Heat that enters at each surface, W/m2, mean over the run; shape (S,)."""
    drop = surfaces.temperature - history.fields.temperature[:, surfaces.cell]
    flow = surfaces.conductance * drop / surfaces.area
    if len(history.time) == 1:
        return flow[0]
    return np.trapz(flow, history.time, axis=0) / (history.time[-1] - history.time[0])


def _draw_map(section: Section, surfaces: Surfaces, flux: np.ndarray, axes, figure) -> None:
    lines = []
    values = []
    for i in np.flatnonzero(surfaces.outer):
        lines.extend(surfaces.pieces(section, i))
        values.extend([flux[i], flux[i]])
    drawn = LineCollection(lines, cmap=look.TEMPERATURE_MAP, linewidths=7, capstyle="butt")
    drawn.set_array(np.array(values))
    axes.add_collection(drawn)
    inside = section.over_the_cut(np.zeros(section.cell.max() + 1))
    axes.pcolormesh(1000 * section.x_lines, 1000 * section.z, inside, cmap="Greys", vmin=-0.25,
                    vmax=2, rasterized=True)
    axes.set_xlim(1000 * section.x_lines[0] - 12, 1000 * section.x_lines[-1] + 12)
    axes.set_ylim(1000 * section.z[0] - 12, 1000 * section.z[-1] + 12)
    axes.set_aspect("equal")
    axes.grid(False)
    axes.set_title("Outer surface")
    axes.set_xlabel("From the middle (mm)")
    axes.set_ylabel("Above the floor inside (mm)")
    bar = figure.colorbar(drawn, ax=axes, pad=0.02, aspect=30, location="bottom")
    bar.set_label("Heat flow in (W/m²)")
    bar.outline.set_visible(False)


def _draw_lines(section: Section, surfaces: Surfaces, flux: np.ndarray, axes) -> None:
    level = surfaces.outer & (surfaces.axis == 1)
    middle = (section.z[0] + section.z[-1]) / 2
    walls = (
        ("base, from the middle", level & (surfaces.z < middle), surfaces.x),
        ("lid, from the middle", level & (surfaces.z > middle), surfaces.x),
        ("side, from the outer base upward", surfaces.outer & (surfaces.axis == 0),
         surfaces.z - section.z[0]),
    )
    for k, (name, which, along) in enumerate(walls):
        order = np.argsort(along[which])
        axes.plot(1000 * along[which][order], flux[which][order], color=look.colour(k), label=name)
    axes.set_ylim(bottom=min(0.0, axes.get_ylim()[0]))
    axes.set_xlabel("Along the outer surface (mm)")
    axes.set_ylabel("Heat flow in (W/m²)")
    axes.set_title("By place")
    axes.legend()
