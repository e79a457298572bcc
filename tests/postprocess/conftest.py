"""Makes the post-processing importable and offers synthetic histories."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest

POSTPROCESS = Path(__file__).resolve().parents[2] / "postprocess"
sys.path.insert(0, str(POSTPROCESS))

import matplotlib  # noqa: E402

matplotlib.use("Agg")

from synthetic import sign, write_history  # noqa: E402


@pytest.fixture
def history_file(tmp_path: Path) -> Path:
    """A whole synthetic history."""
    return write_history(tmp_path / "picnic.h5")


@pytest.fixture
def altered(history_file: Path) -> Callable[..., Path]:
    """Changes the synthetic history: called with a function of the open file."""
    import h5py

    def change(edit: Callable[[h5py.File], object]) -> Path:
        with h5py.File(history_file, "r+") as file:
            edit(file)
        sign(history_file, "history", 3)
        return history_file

    return change
