"""What a run leaves that is killed at any of its changes of the disk.

`pytest tests/program/test_killed.py --kills 200` kills it at 200 of them, drawn at random.
"""

from __future__ import annotations

import random
from pathlib import Path

import h5py
import pytest
from stopping import count_changes, kill
from test_program import GOOD, write

SECTION = "  detail: 2d\n  section: {fineness: 0.4}\n"
RUN = ["run", "case.yaml", "--quiet"]


def whole_rows(part: Path) -> int:
    """Reads every dataset to its end; how many rows of time there are."""
    with h5py.File(part) as history:
        assert history.attrs["completed"] == 0

        def read(_: str, item: h5py.Group | h5py.Dataset) -> None:
            if isinstance(item, h5py.Dataset):
                item[()]

        history.visititems(read)
        if "time" not in history or "probes/temperature" not in history:
            return 0
        times = history["time"][:]
        temperatures = history["probes/temperature"][:]
    rows = min(len(times), len(temperatures))
    assert (times[1:rows] > times[: rows - 1]).all()
    assert (temperatures[:rows] > 200).all()
    return rows


@pytest.mark.parametrize("detail", ["1d", "2d"])
def test_killed_run_leaves_a_readable_part(detail: str, tmp_path: Path, request) -> None:
    length = "  duration: 2 h\n  output_every: 1 min\n"
    write(tmp_path, GOOD.replace("  duration: 30 h\n", length + (SECTION if detail == "2d" else "")))
    changes = count_changes(RUN, tmp_path, ".h5.part")
    (tmp_path / "case.h5").unlink()
    part = tmp_path / "case.h5.part"
    chance = random.Random(7)
    kills = request.config.getoption("--kills")
    instants = sorted({2, *(chance.randint(2, changes) for _ in range(kills)), changes})
    rows = 0
    for at in instants:
        assert kill(RUN, tmp_path, ".h5.part", at, torn=chance.random() < 0.5)
        assert not (tmp_path / "case.h5").exists()
        found = whole_rows(part)  # an OSError is a failure
        assert found >= rows, "a later kill left less"
        rows = found
        part.unlink()
    assert rows > 100
