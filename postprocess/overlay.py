#!/usr/bin/python3
"""Lays logged readings over computed curves and draws the picture: the command.

From a trial it runs `thawline overlay`, which works out the curves and the table: readings are compared
where the solver knows its curves between their steps. From a file that `thawline overlay` or `thawline
fit` wrote it draws only.
"""

from __future__ import annotations

import argparse
import os
import shutil
import subprocess
import sys
from pathlib import Path

import command
from interpreter import ensure_libraries

DONE, BAD_INPUT, NOT_WRITTEN = 0, 2, 4


def main(arguments: list[str] | None = None) -> int:
    """Run the command and return its exit code."""
    options = _parser().parse_args(arguments)
    ensure_libraries()

    import matplotlib

    matplotlib.use("Agg")
    import learnt
    import look
    import over_curves
    from history import HistoryError
    from matplotlib.figure import Figure
    from output import OutputError, refuse_foreign, save_all, targets
    from trial import read_trial

    path = options.trial
    if path.suffix != ".h5":
        program = _program()
        if program is None:
            print("The program thawline is not found; build it, or set THAWLINE to its path.",
                  file=sys.stderr)
            return BAD_INPUT
        folder = options.out or Path()
        path = folder / f"{options.trial.stem}-overlay.h5"
        folder.mkdir(parents=True, exist_ok=True)
        code = subprocess.run([program, "overlay", options.trial, "--out", path], check=False).returncode
        if code:
            return code
    try:
        trial = read_trial(path)
        folder = options.out or path.parent
        pages = {f"{trial.stem}-curves": (over_curves.draw, over_curves.size(trial))}
        if trial.learnt is not None:
            height = max(5.0, 1.6 + 0.75 * len(trial.learnt.names))
            pages[f"{trial.stem}-learnt"] = (learnt.draw, (14.0, height))
        for name in pages:
            for target in targets(folder / name, options.format):
                refuse_foreign(target)
        with matplotlib.rc_context(dict(look.STYLE)):
            for name, (draw, size) in pages.items():
                figure = Figure(figsize=size, layout="constrained" if draw is learnt.draw else None)
                draw(trial, figure)
                save_all(figure, folder / name, options.format)
    except HistoryError as error:
        print(error, file=sys.stderr)
        return BAD_INPUT
    except OutputError as error:
        print(error, file=sys.stderr)
        return NOT_WRITTEN
    return DONE


def _program() -> str | None:
    beside = Path(__file__).resolve().parents[1] / "build" / "release" / "thawline"
    return os.environ.get("THAWLINE") or (str(beside) if beside.is_file() else None) \
        or shutil.which("thawline")


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="overlay.py",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        description="Lay logged readings over computed curves, with their differences under them.",
        epilog="example:\n"
               "  postprocess/overlay.py cases/examples/trials/two-boxes.yaml\n\n"
               "exit codes: 0 done, 2 bad input, 3 could not solve, 4 could not write",
    )
    parser.add_argument("trial", type=Path, metavar="TRIAL",
                        help="trial (YAML), or what thawline overlay or fit wrote (.h5)")
    command.add_output_options(parser, "where to write (default: here, or beside the .h5)")
    return parser


if __name__ == "__main__":
    sys.exit(command.run(main))
