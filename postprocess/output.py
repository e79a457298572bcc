"""Saves pictures: whole or not at all, and never over anything but a picture of ours."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path

from matplotlib.figure import Figure

CREATOR = "Thawline"
# What a picture of ours holds near its beginning.
SIGNS = {".png": b"tEXtSoftware\0" + CREATOR.encode(),
         ".svg": f"<dc:title>{CREATOR}</dc:title>".encode(),
         ".gif": b"\x21\xfe" + bytes([len(CREATOR)]) + CREATOR.encode()}
METADATA = {"png": {"Software": CREATOR}, "svg": {"Creator": CREATOR, "Date": None}}


class OutputError(Exception):
    """A picture cannot be written; the message is one whole sentence."""


def refuse_foreign(path: Path) -> None:
    """Raise OutputError unless nothing has the name `path` or a picture of ours."""
    try:
        if not os.path.lexists(path):
            return
        if path.is_symlink() or not path.is_file():
            raise OutputError(f"{path} is no plain file and is left alone; "
                              "--out names another folder.")
        with path.open("rb") as file:
            ours = SIGNS[path.suffix] in file.read(1 << 16)
    except OSError as error:
        raise OutputError(f"{path} cannot be written: {error.strerror or error}.") from error
    if not ours:
        raise OutputError(f"{path} is there and is no picture of Thawline; it is left alone, "
                          "move it away or name another folder with --out.")


def targets(base: Path, formats: Sequence[str]) -> list[Path]:
    """The files a picture `base` is saved as."""
    return [base.with_name(f"{base.name}.{kind}") for kind in dict.fromkeys(formats)]


def save(figure: Figure, path: Path) -> None:
    """Write `figure` to `path` in the format of its ending, making the folder if need be."""
    kind = path.suffix.removeprefix(".")

    def write(file: Path) -> bool:
        figure.savefig(file, format=kind, metadata=METADATA[kind])
        return True

    _put(path, write)


def save_film(history, path: Path) -> bool:
    """Write the film of a history's section as a GIF; False when it has none to show."""
    import section_frames

    return _put(path, lambda file: section_frames.film(history, file, CREATOR))


def save_all(figure: Figure, base: Path, formats: Sequence[str]) -> None:
    """Save `figure` as `base` with the ending of each format, and print the names."""
    for path in targets(base, formats):
        save(figure, path)
        print(path)


def _put(path: Path, write: Callable[[Path], bool]) -> bool:
    """Let `write` fill a file in a folder of its own, then give it its name if it says so."""
    refuse_foreign(path)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=".thawline-", dir=path.parent) as folder:
            unfinished = Path(folder) / path.name
            if not write(unfinished):
                return False
            os.replace(unfinished, path)
    except OSError as error:
        raise OutputError(f"{path} cannot be written: {error.strerror or error}.") from error
    return True
