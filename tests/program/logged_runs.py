"""Records of computed runs, for the tests of trials."""

from __future__ import annotations

from pathlib import Path

import h5py
import numpy as np
from test_program import DONE, GOOD, assert_refused, call

CASE = GOOD.replace("  duration: 30 h", "  duration: 30 h\n  output_every: 10 min\n  accuracy: 0.01 K")

TRIAL = """\
title: small box, measured
case: case.yaml
records:
  - name: first
    file: first.csv
    packed_at: 30 min
    channels:
      - {channel: can, is: drinks}
      - {channel: inside, is: air}
"""


def probes_of(folder: Path, case: str) -> dict[str, np.ndarray]:
    """Computes a case; `time` in s and every probe in degC."""
    (folder / "truth.yaml").write_text(case)
    answer = call("run", "truth.yaml", "--quiet", folder=folder)
    assert answer.returncode == DONE, answer.stderr
    with h5py.File(folder / "truth.h5") as file:
        names = file["probes/names"].asstr()[...]
        values = np.asarray(file["probes/temperature"]) - 273.15
        told = {name.rstrip("\0"): values[:, i] for i, name in enumerate(names)}
        return told | {"time": np.asarray(file["time"])}


def write_record(folder: Path, name: str, told: dict, changed=None, digits: int = 3) -> None:
    """Writes what `can` and `inside` read, a logger's half hour after it was switched on.

    changed: called with (time, can, inside) before writing, changes them in place
    """
    time = np.arange(0, 30 * 3600 + 1, 600.0)
    can = np.interp(time, told["time"], told["drinks"])
    inside = np.interp(time, told["time"], told["air"])
    if changed is not None:
        changed(time, can, inside)
    rows = "".join(f"{t / 60 + 30:g},{a:.{digits}f},{b:.{digits}f}\n"
                   for t, a, b in zip(time, can, inside))
    (folder / name).write_text("time [min],can [degC],inside [degC]\n" + rows)


def assert_trial_refused(verb: str, folder: Path, says: str, line: int) -> None:
    """The trial in `folder` is refused at that line, and nothing is written."""
    before = sorted(folder.iterdir())
    answer = call(verb, "trial.yaml", folder=folder)
    assert_refused(answer, says)
    assert answer.stderr.startswith(f"trial.yaml:{line}:"), answer.stderr
    assert sorted(folder.iterdir()) == before
