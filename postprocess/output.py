"""Saves figures so that a file under its final name is always whole."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

from matplotlib.figure import Figure


class OutputError(Exception):
    """A picture cannot be written; the message is one whole sentence."""


def save(figure: Figure, path: Path) -> None:
    """Write `figure` to `path` in the format of its ending, making the folder if need be."""
    kind = path.suffix.removeprefix(".")
    temporary = path.with_name(f".{path.name}.{os.getpid()}.unfinished")
    metadata = {"Date": None} if kind == "svg" else {}
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        try:
            figure.savefig(temporary, format=kind, metadata=metadata)
            os.replace(temporary, path)
        finally:
            temporary.unlink(missing_ok=True)
    except OSError as error:
        raise OutputError(f"{path} cannot be written: {error.strerror or error}.") from error


def save_film(history, path: Path) -> bool:
    """Write the film of a history's section as a GIF; False when it has none to show."""
    import section_frames

    temporary = path.with_name(f".{path.name}.{os.getpid()}.unfinished.gif")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        try:
            if not section_frames.film(history, temporary):
                return False
            os.replace(temporary, path)
        finally:
            temporary.unlink(missing_ok=True)
    except OSError as error:
        raise OutputError(f"{path} cannot be written: {error.strerror or error}.") from error
    return True


def save_all(figure: Figure, base: Path, formats: Sequence[str]) -> None:
    """Save `figure` as `base` with the ending of each format, and print the names."""
    for kind in dict.fromkeys(formats):
        path = base.with_name(f"{base.name}.{kind}")
        save(figure, path)
        print(path)
