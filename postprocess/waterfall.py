"""The picture of a difference shared out, and the reading of it (solver/explain/EXPLAINED.md)."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from pathlib import Path

import h5py
import numpy as np

import look
from datasets import HistoryError, open_history, plain

EXPLAINED_VERSION = 1
MOST_STEPS = 24


@dataclass(frozen=True, eq=False)
class Explained:
    """A difference shared out.

    start, end: answers of the first and of the second case, in `units`
    names, changes: groups of inputs and what differs in them, the largest part first
    share, error: their parts and standard errors (0 when exact), in `units` (K for temperatures)
    """

    path: Path
    first: str
    second: str
    limit: str
    answer: str
    sentence: str
    units: str
    start: float
    end: float
    names: tuple[str, ...]
    changes: tuple[str, ...]
    share: np.ndarray
    error: np.ndarray


def read_explained(path: Path) -> Explained:
    """Read what `thawline explain` wrote; raises HistoryError with one sentence."""
    with open_history(path, "explained", EXPLAINED_VERSION) as file:
        try:
            return _read(path, file)
        except (KeyError, OSError, ValueError) as error:
            raise HistoryError(f"{path} is damaged: {' '.join(str(error).split())}.") from error


def _read(path: Path, file: h5py.File) -> Explained:
    def text(name: str) -> str:
        value = file.attrs[name]
        return plain(value.decode() if isinstance(value, bytes) else str(value))

    def texts(name: str) -> tuple[str, ...]:
        data = file[name]
        return tuple(plain(one) for one in data.asstr()[:]) if data.shape else ()

    def numbers(name: str) -> np.ndarray:
        data = file[name]
        return data[:].astype(float) if data.shape else np.empty(0)

    units = file["from"].attrs["units"]
    return Explained(
        path=path, first=text("first_title"), second=text("second_title"), limit=text("limit"),
        answer=text("answer"), sentence=text("sentence"),
        units=plain(units.decode() if isinstance(units, bytes) else str(units)),
        start=float(file["from"][0]), end=float(file["to"][0]), names=texts("groups/name"),
        changes=texts("groups/changes"), share=numbers("groups/share"),
        error=numbers("groups/standard_error"))


def size(explained: Explained) -> tuple[float, float]:
    """Width and height of the figure, inches."""
    steps = min(len(explained.names), MOST_STEPS)
    return 13.0, 2.4 + 0.5 * (steps + 2)


def draw(explained: Explained, figure) -> None:
    """Draw a bar from zero to either answer and between them a step for each group of inputs."""
    what = {"held": f"How long '{explained.limit}' holds",
            "worst": f"How far '{explained.limit}' goes", "heat": "Heat that comes in"}
    look.heading(figure, f"{what[explained.answer]}: from one case to the other")
    axes = figure.subplots()
    names, share, error = _steps(explained)
    units = {"degC": "°C"}.get(explained.units, explained.units)
    after = explained.start + np.cumsum(share)
    before = after - share
    last = len(names) + 1
    span = max(np.ptp(np.append(after, [explained.start, explained.end, 0.0])), 1e-9)
    for place, value in ((0, explained.start), (last, explained.end)):
        axes.barh(place, value, color=look.FAINT, height=0.6)
        _tell(axes, max(value, 0.0), place, f"{value:.1f} {units}", span)
    for k, (low, high) in enumerate(zip(before, after)):
        grows = high >= low
        axes.barh(k + 1, high - low, left=low, height=0.6,
                  color=look.colour(2) if grows else look.colour(1),
                  hatch="" if grows else "///", edgecolor="white")
        axes.plot([low, low], [k + 0.3, k + 0.7], color=look.INK, linewidth=0.9)
        spread = f" ± {error[k]:.2g}" if error[k] > 0 else ""
        _tell(axes, max(low, high), k + 1, f"{share[k]:+.2f}{spread}".replace("-", "\N{MINUS SIGN}"),
              span)
    axes.plot([after[-1] if len(after) else explained.start] * 2, [last - 0.7, last - 0.3],
              color=look.INK, linewidth=0.9)
    axes.set_yticks(np.arange(last + 1),
                    [textwrap.fill(explained.first, 40), *names,
                     textwrap.fill(explained.second, 40)])
    axes.invert_yaxis()
    axes.set_xlim(right=axes.get_xlim()[1] + 0.12 * span)
    axes.set_xlabel({"held": "Hold time (h)", "worst": "Temperature (°C)",
                     "heat": "Heat (kJ)"}[explained.answer])
    axes.grid(axis="y", visible=False)
    figure.supxlabel(textwrap.fill(explained.sentence, 120), x=0.012, ha="left",
                     fontsize=look.SMALL, color=look.QUIET)


def _steps(explained: Explained) -> tuple[list[str], np.ndarray, np.ndarray]:
    """The groups, those beyond the most drawn as one step."""
    names = [_worded(name, change) for name, change in zip(explained.names, explained.changes)]
    share, error = explained.share, explained.error
    if len(names) <= MOST_STEPS:
        return names, share, error
    rest = len(names) - MOST_STEPS + 1
    kept = MOST_STEPS - 1
    return ([*names[:kept], f"{rest} more"], np.append(share[:kept], share[kept:].sum()),
            np.append(error[:kept], np.sqrt((error[kept:] ** 2).sum())))


def _worded(name: str, change: str) -> str:
    """The group, and below it what differs, as far as that is short."""
    return f"{name}\n{textwrap.shorten(change, 46, placeholder='…')}"


def _tell(axes, at: float, place: int, text: str, span: float) -> None:
    axes.text(at + 0.01 * span, place, text, va="center", fontsize=look.SMALL)
