"""Kills or pauses the program at a known point: just before one of its changes of the disk.

Between two changes nothing on the disk differs, so these are all the instants there are. How fast or
busy the machine is does not matter. The environment variable STOP_AT_WRITE names the library built
from stop_at_write.cpp.
"""

from __future__ import annotations

import os
import signal
import subprocess
from pathlib import Path

import pytest
from test_program import program


def environment(**more: str) -> dict[str, str]:
    library = os.environ.get("STOP_AT_WRITE")
    if not library:
        pytest.skip("STOP_AT_WRITE does not name the library")
    # Sanitizers want to be loaded first and say so; there is nothing wrong with it.
    options = os.environ.get("ASAN_OPTIONS", "")
    return {**os.environ, "LD_PRELOAD": str(Path(library).resolve()), "STOP_CLOCK": "1",
            "ASAN_OPTIONS": f"{options}:verify_asan_link_order=0", **more}


def begin(words: list[str], folder: Path, **more: str) -> subprocess.Popen[str]:
    return subprocess.Popen([program(), *words], cwd=folder, text=True, stdout=subprocess.PIPE,
                            stderr=subprocess.PIPE, env=environment(**more))


def count_changes(words: list[str], folder: Path, file: str) -> int:
    """How often the unbroken program changes files whose name holds `file`."""
    counted = folder / "changes.txt"
    with begin(words, folder, STOP_FILE=file, STOP_COUNT=str(counted)) as run:
        _, errors = run.communicate()
    assert run.returncode == 0, errors
    changes = int(counted.read_text())
    counted.unlink()
    return changes


def kill(words: list[str], folder: Path, file: str, at: int, torn: bool = False) -> bool:
    """Kills the program before change `at`, or when a part of its bytes is written.

    False when it was done after fewer changes.
    """
    how = "torn" if torn else "kill"
    with begin(words, folder, STOP_FILE=file, STOP_AT=str(at), STOP_HOW=how) as run:
        output = run.communicate()
    assert run.returncode in (0, -signal.SIGKILL), (run.returncode, output)
    return run.returncode != 0


def pause(words: list[str], folder: Path, file: str, at: int) -> subprocess.Popen[str]:
    """Starts the program and comes back when it stands still before change `at`."""
    run = begin(words, folder, STOP_FILE=file, STOP_AT=str(at), STOP_HOW="pause")
    _, status = os.waitpid(run.pid, os.WUNTRACED)
    assert os.WIFSTOPPED(status), status
    return run
