"""Finds a Python that has the libraries the pictures need."""

from __future__ import annotations

import importlib
import os
import subprocess
import sys

SYSTEM_PYTHON = "/usr/bin/python3"
LIBRARIES = ("numpy", "h5py", "matplotlib")
ALREADY_SWITCHED = "THAWLINE_DRAW_SWITCHED"
ADVICE = (
    "The pictures need h5py, numpy and matplotlib: "
    "install the Debian packages python3-h5py and python3-matplotlib."
)


def ensure_libraries() -> None:
    """Return when the libraries load; else start again under the system's Python.

    Exits with 2 and one sentence when the system's Python lacks them as well.
    """
    if _all_load():
        return
    if ALREADY_SWITCHED not in os.environ and _system_python_has_them():
        environment = {**os.environ, ALREADY_SWITCHED: "1"}
        os.execve(SYSTEM_PYTHON, [SYSTEM_PYTHON, *sys.argv], environment)
    print(ADVICE, file=sys.stderr)
    raise SystemExit(2)


def _all_load() -> bool:
    try:
        for library in LIBRARIES:
            importlib.import_module(library)
    except (ImportError, ValueError):
        return False
    return True


def _system_python_has_them() -> bool:
    try:
        probe = subprocess.run(
            [SYSTEM_PYTHON, "-c", f"import {', '.join(LIBRARIES)}"],
            capture_output=True, check=False,
        )
    except OSError:
        return False
    return probe.returncode == 0
