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

SECTION = ("  detail: 1d\n", "  detail: 2d\n  section: {fineness: 0.4}\n")
RUN = ["run", "case.yaml", "--quiet"]


def rows_of(file: Path) -> int:
    """Reads every dataset to its end; how many rows of time there are."""
    with h5py.File(file) as history:
        assert history.attrs["completed"] == (0 if file.suffix == ".part" else 1)

        def read(_: str, item: h5py.Group | h5py.Dataset) -> None:
            if isinstance(item, h5py.Dataset):
                item[()]

        history.visititems(read)
        times = history["time"][:]
        times = times[times >= 0]  # others have not come yet
        temperatures = history["probes/temperature"][: len(times)]
    assert (times[1:] > times[:-1]).all()
    assert (temperatures > 200).all()
    return len(times)


def rows_left(folder: Path) -> int:
    """Of the finished history where there is one, else of the part; a part may not have begun."""
    for name in ("case.h5", "case.h5.part"):
        if (folder / name).exists():
            return rows_of(folder / name)  # an OSError is a failure
    return 0


@pytest.mark.parametrize("detail", ["1d", "2d"])
def test_killed_run_leaves_a_readable_part(detail: str, tmp_path: Path, request) -> None:
    length = "  duration: 2 h\n  output_every: 1 min\n"
    case = GOOD.replace("  duration: 30 h\n", length)
    write(tmp_path, case.replace(*SECTION) if detail == "2d" else case)

    def remove_files() -> None:
        for left in tmp_path.glob("case.h5*"):
            left.unlink()

    changes = count_changes(RUN, tmp_path, ".h5.part")
    remove_files()
    chance = random.Random(7)
    kills = request.config.getoption("--kills")
    instants = sorted({1, *(chance.randint(1, changes) for _ in range(kills)), changes})
    rows = 0
    for at in instants:
        assert kill(RUN, tmp_path, ".h5.part", at, torn=chance.random() < 0.5)
        found = rows_left(tmp_path)
        assert found >= rows, "a later kill left less"
        rows = found
        remove_files()
    assert rows == 121
