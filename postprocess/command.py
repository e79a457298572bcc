"""What the commands share: options of what they draw, exit codes of what they could not print."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable
from pathlib import Path

NOT_WRITTEN = 4


def add_output_options(parser: argparse.ArgumentParser, folder_help: str) -> None:
    parser.add_argument("--out", type=Path, metavar="FOLDER", help=folder_help)
    parser.add_argument("--format", nargs="+", choices=("png", "svg"), default=["png", "svg"],
                        help="default: png svg")


def run(main: Callable[[], int]) -> int:
    """Call `main` and return its exit code: NOT_WRITTEN when standard output took not all of it.

    A reader that went away, as in `draw.py picnic.h5 | head -1`, needs no word about it.
    """
    if sys.stdout is None:
        return _complain("it is closed")
    try:
        try:
            code = main()
        except SystemExit as end:  # --help, or what argparse refuses
            code = end.code if isinstance(end.code, int) else 0
        sys.stdout.flush()
        return code
    except BrokenPipeError:
        _drop_the_rest()
        return NOT_WRITTEN
    except OSError as error:
        if error.filename is not None:
            raise
        _drop_the_rest()
        return _complain(error.strerror or str(error))


def _complain(reason: str) -> int:
    print(f"Standard output cannot be written: {reason}.", file=sys.stderr)
    return NOT_WRITTEN


def _drop_the_rest() -> None:
    """Let the interpreter's own last flush go nowhere."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
