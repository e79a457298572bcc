"""The mark at the head of Thawline's HDF5 files: what they are, and the checksum of their bytes."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path

MARK_BYTES = 512
SUM_WORDS = "sha256 of the bytes after these 512: "


@dataclass(frozen=True)
class Mark:
    """What a file says of itself; `sha256` is empty while a run still writes it."""

    kind: str
    version: int
    sha256: str


def read_mark(path: Path) -> Mark | None:
    """The mark of a file, None where there is none."""
    with path.open("rb") as file:
        lines = file.read(MARK_BYTES).split(b"\n")
    words = lines[0].decode("ascii", "replace").split(" ")
    if len(words) != 3 or words[0] != "Thawline" or not words[2].isdecimal() or len(lines) < 2:
        return None
    second = lines[1].decode("ascii", "replace")
    return Mark(words[1], int(words[2]),
                second.removeprefix(SUM_WORDS) if second.startswith(SUM_WORDS) else "")


def sum_of(path: Path) -> str:
    """The SHA-256 of all bytes behind the mark."""
    digest = hashlib.sha256()
    with path.open("rb") as file:
        file.seek(MARK_BYTES)
        while block := file.read(1 << 20):
            digest.update(block)
    return digest.hexdigest()
