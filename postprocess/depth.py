"""The picture of temperature over time and depth."""

from __future__ import annotations

import numpy as np
from matplotlib.axes import Axes
from matplotlib.colors import Normalize
from matplotlib.patheffects import withStroke

import look
from columns import Column, Layer, build_column, chosen_columns
from history import History

MOST_COLUMNS = 3
LABEL_POINTS = 1.3 * look.SMALL


def draw(history: History, figure) -> None:
    """Draw temperature (degC) over hours and depth (mm) for at most three columns."""
    look.heading(figure, "Temperature through the box, by depth")
    chosen = chosen_columns(history.grid)
    if history.fields is None:
        look.say_instead(figure, "This run kept no fields, so there is no depth to show.")
        return
    if not chosen:
        look.say_instead(figure, "This run has no column with a coolant or a wall.")
        return
    if len(chosen) > MOST_COLUMNS:
        look.heading(figure, "Temperature through the box, by depth "
                             f"({MOST_COLUMNS} of {len(chosen)} columns)")
    columns = [build_column(history, history.fields, i) for i in chosen[:MOST_COLUMNS]]
    panels = figure.subplots(len(columns), 1, sharex=True, squeeze=False)[:, 0]
    colours = _common_scale(columns)
    for axes, column in zip(panels, columns):
        mesh = _draw_column(history.time, column, axes, colours)
    look.hour_axis(panels[-1], history.time)
    figure.supylabel("Depth from the inside outward (mm)", fontsize=11.5)
    panels[0].set_title(_key(columns), loc="right", fontsize=look.SMALL)
    label_gap = LABEL_POINTS * len(columns) / (0.75 * figure.bbox.height / figure.dpi * 72)
    for axes, column in zip(panels, columns):
        _name_layers(axes, column, label_gap)
    bar = figure.colorbar(mesh, ax=list(panels), pad=0.02, aspect=30)
    bar.set_label("Temperature (°C)")
    bar.outline.set_visible(False)


def time_edges(time: np.ndarray) -> np.ndarray:
    """Edges in h, shape (T + 1,), half-way between the instants of `time` in s."""
    hours = look.hours(time)
    if len(hours) == 1:
        return np.array([hours[0], hours[0] + 1.0])
    return np.concatenate([hours[:1], (hours[1:] + hours[:-1]) / 2, hours[-1:]])


def spread(places: list[float], gap: float) -> list[float]:
    """Move increasing `places` within 0..1 apart to at least `gap`, as little as will do."""
    gap = min(gap, 1 / max(len(places), 1))
    moved = list(places)
    for i in range(1, len(moved)):
        moved[i] = max(moved[i], moved[i - 1] + gap)
    ceiling = 1.0
    for i in reversed(range(len(moved))):
        moved[i] = min(moved[i], ceiling)
        ceiling = moved[i] - gap
    return moved


def _common_scale(columns: list[Column]) -> Normalize:
    values = np.concatenate(
        [look.celsius(layer.temperature).ravel() for c in columns for layer in c.layers]
    )
    known = values[np.isfinite(values)]
    return Normalize(known.min(), known.max()) if known.size else Normalize(0, 1)


def _draw_column(time: np.ndarray, column: Column, axes: Axes, colours: Normalize):
    edges = time_edges(time)
    for i, layer in enumerate(column.layers):
        mesh = axes.pcolormesh(
            edges, 1000 * layer.edges, np.ma.masked_invalid(look.celsius(layer.temperature)).T,
            cmap=look.TEMPERATURE_MAP, norm=colours, shading="flat", rasterized=True,
        )
        _draw_front(time, layer, axes)
        if i > 0:
            axes.axhline(1000 * layer.edges[0], color="white", linewidth=0.8)
    axes.set_ylim(1000 * column.layers[-1].edges[-1], 1000 * column.layers[0].edges[0])
    axes.set_title(look.shortened(column.name))
    axes.set_facecolor(look.ABSENT)
    axes.grid(False)
    return mesh


def _key(columns: list[Column]) -> str:
    """What the line and the empty areas mean, as far as there are any."""
    layers = [layer for column in columns for layer in column.layers]
    said = []
    if any(_crosses_half(layer) for layer in layers):
        said.append("white line: half melted")
    if any(np.any(np.isnan(layer.temperature)) for layer in layers):
        said.append("grey: not in the box")
    return ", ".join(said)


def _crosses_half(layer: Layer) -> bool:
    known = layer.liquid_fraction[np.isfinite(layer.liquid_fraction)]
    return known.size > 0 and known.min() < 0.5 < known.max()


def _draw_front(time: np.ndarray, layer: Layer, axes: Axes) -> None:
    """Draw where half has melted, carried on to the layer's own edges."""
    if len(time) < 2 or not _crosses_half(layer):
        return
    centres = (layer.edges[1:] + layer.edges[:-1]) / 2
    depth = np.concatenate([layer.edges[:1], centres, layer.edges[-1:]])
    fraction = layer.liquid_fraction
    fraction = np.concatenate([fraction[:, :1], fraction, fraction[:, -1:]], axis=1)
    lines = axes.contour(look.hours(time), 1000 * depth, np.ma.masked_invalid(fraction).T,
                         levels=[0.5], colors="white", linewidths=1.8)
    for line in lines.collections:
        line.set_path_effects([withStroke(linewidth=3.4, foreground=look.INK)])


def _name_layers(axes: Axes, column: Column, gap: float) -> None:
    """Write the names of the parts right of the axes, `gap` axes heights apart or more."""
    inner, outer = column.layers[0].edges[0], column.layers[-1].edges[-1]
    middles = [(l.edges[0] + l.edges[-1]) / 2 for l in column.layers]
    places = [float((m - inner) / (outer - inner)) for m in middles]
    for layer, place, shown in zip(column.layers, places, spread(places, gap)):
        axes.annotate(
            layer.part, xy=(1.0, 1 - place), xycoords="axes fraction",
            xytext=(1.02, 1 - shown), textcoords="axes fraction", va="center",
            fontsize=look.SMALL, annotation_clip=False,
            arrowprops={"arrowstyle": "-", "color": look.FAINT, "linewidth": 0.9,
                        "shrinkA": 0, "shrinkB": 0, "relpos": (0, 0.5)},
        )
