#!/usr/bin/python3
"""Draws what `thawline explain` wrote as a waterfall: the command."""

from __future__ import annotations

import argparse
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
    import look
    import waterfall
    from history import HistoryError
    from matplotlib.figure import Figure
    from output import OutputError, refuse_foreign, save_all, targets

    try:
        explained = waterfall.read_explained(options.explained)
        folder = options.out or explained.path.parent
        target = folder / f"{explained.path.stem}-why"
        for path in targets(target, options.format):
            refuse_foreign(path)
        with matplotlib.rc_context(dict(look.STYLE)):
            figure = Figure(figsize=waterfall.size(explained), layout="constrained")
            waterfall.draw(explained, figure)
            save_all(figure, target, options.format)
    except HistoryError as error:
        print(error, file=sys.stderr)
        return BAD_INPUT
    except OutputError as error:
        print(error, file=sys.stderr)
        return NOT_WRITTEN
    return DONE


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="explained.py",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        description="Draw what thawline explain wrote: from the first case to the second, step by "
                    "step.",
        epilog="example:\n"
               "  postprocess/explained.py thin-box-to-rotomoulded-box.h5\n\n"
               "exit codes: 0 done, 2 bad input, 4 could not write",
    )
    parser.add_argument("explained", type=Path, metavar="EXPLAINED.h5",
                        help="what thawline explain wrote")
    command.add_output_options(parser, "default: beside it")
    return parser


if __name__ == "__main__":
    sys.exit(command.run(main))
