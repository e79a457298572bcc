"""The waterfall of a difference shared out."""

from __future__ import annotations

import subprocess
from pathlib import Path

import h5py
import numpy as np
import pytest
from matplotlib.figure import Figure

import waterfall
from conftest import POSTPROCESS
from datasets import HistoryError
from mark import MARK_BYTES
from synthetic import sign


def write(path: Path, count: int = 3) -> Path:
    """Three steps from 10 h to 14 h, or many small ones behind them."""
    share = np.append([5.0, -2.0, 1.0], np.zeros(count - 3))
    text = h5py.string_dtype()
    with h5py.File(path, "w", userblock_size=MARK_BYTES) as file:
        file.attrs.update(explained_version=1, first_title="a", second_title="b", limit="cold",
                          answer="held", sentence="the second holds 4.0 h longer", exact=0)
        for name, value in (("from", 10.0), ("to", 14.0)):
            file.create_dataset(name, data=[value]).attrs["units"] = "h"
        names = ["start", "box", "amount", *(f"more {i}" for i in range(count - 3))]
        file.create_dataset("groups/name", data=names, dtype=text)
        file.create_dataset("groups/changes", data=["x"] * count, dtype=text)
        file.create_dataset("groups/share", data=share)
        file.create_dataset("groups/standard_error", data=np.append([0.5], np.zeros(count - 1)))
    sign(path, "explained", 1)
    return path


def drawn(path: Path):
    explained = waterfall.read_explained(path)
    figure = Figure(figsize=waterfall.size(explained), layout="constrained")
    waterfall.draw(explained, figure)
    return figure.axes[0]


def test_steps_lead_from_one_answer_to_the_other(tmp_path: Path) -> None:
    axes = drawn(write(tmp_path / "a-to-b.h5"))
    bars = [(bar.get_x(), bar.get_x() + bar.get_width()) for bar in axes.patches]
    assert bars == [(0, 10), (0, 14), (10, 15), (15, 13), (13, 14)]
    said = [text.get_text() for text in axes.texts]
    assert said == ["10.0 h", "14.0 h", "+5.00 ± 0.5", "\N{MINUS SIGN}2.00", "+1.00"]
    names = [text.get_text() for text in axes.get_yticklabels()]
    assert names == ["a", "start\nx", "box\nx", "amount\nx", "b"]


def test_many_steps_are_drawn_as_one(tmp_path: Path) -> None:
    axes = drawn(write(tmp_path / "a-to-b.h5", count=40))
    assert len(axes.patches) == waterfall.MOST_STEPS + 2
    assert axes.get_yticklabels()[-2].get_text() == f"{40 - waterfall.MOST_STEPS + 1} more"


def test_the_command_draws_beside_the_file(tmp_path: Path) -> None:
    path = write(tmp_path / "a-to-b.h5")
    command = ["/usr/bin/python3", POSTPROCESS / "explained.py", path, "--format", "png"]
    answer = subprocess.run(command, check=False, capture_output=True, text=True)
    assert answer.returncode == 0, answer.stderr
    assert (tmp_path / "a-to-b-why.png").stat().st_size > 10000
    path.write_bytes(path.read_bytes()[:-1])
    answer = subprocess.run(command, check=False, capture_output=True, text=True)
    assert answer.returncode == 2 and "damaged" in answer.stderr


def test_other_files_are_refused(history_file) -> None:
    with pytest.raises(HistoryError, match="is not a Thawline explained of layout 1"):
        waterfall.read_explained(history_file)
