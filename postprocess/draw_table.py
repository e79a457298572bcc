#!/usr/bin/python3
"""Draws the pictures of Thawline tables of cases: the command."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

import command
from interpreter import ensure_libraries

DONE, BAD_INPUT, NOT_WRITTEN = 0, 2, 4
PICTURES = ("input", "map", "coolants", "curves", "spread", "paired", "ranking", "found")


def main(arguments: list[str] | None = None) -> int:
    """Run the command and return its exit code."""
    options = _parser().parse_args(arguments)
    ensure_libraries()

    import matplotlib

    matplotlib.use("Agg")
    import look
    from history import HistoryError
    from output import OutputError, refuse_foreign, save_all, targets
    from pages import pictures_of, table_page
    from table import read_table

    try:
        table = read_table(options.table)
        names = _wanted_pictures(
            options, pictures_of(table),
            "nothing varies in it" if table.limits else "its case has no limit")
        _check_inputs(options, {column.name for column in table.inputs})
        folder = options.out or table.path.parent
        for name in names:
            for path in targets(folder / f"{table.stem}-{name}", options.format):
                refuse_foreign(path)
        with matplotlib.rc_context(dict(look.STYLE)):
            for name in names:
                save_all(table_page(name, table, options.over), folder / f"{table.stem}-{name}",
                         options.format)
    except (HistoryError, NotThere) as error:
        print(error, file=sys.stderr)
        return BAD_INPUT
    except OutputError as error:
        print(error, file=sys.stderr)
        return NOT_WRITTEN
    return DONE


class NotThere(Exception):
    """Something asked for is not in the table; the message is one whole sentence."""


def _wanted_pictures(options: argparse.Namespace, suited: list[str], without: str) -> list[str]:
    for name in options.only or []:
        if name not in suited:
            raise NotThere(f"{options.table} has nothing for the picture '{name}'; "
                           f"it has for: {', '.join(suited) or 'none'}.")
    if not suited:
        raise NotThere(f"{options.table} has nothing to draw: {without}.")
    return options.only or suited


def _check_inputs(options: argparse.Namespace, names: set[str]) -> None:
    for name in options.over:
        if name not in names:
            raise NotThere(f"{options.table} has no input '{name}'; "
                           f"it has: {', '.join(sorted(names))}.")


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="draw_table.py",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        description="Draw the pictures that suit a table of cases.",
        epilog="example:\n"
               "  postprocess/draw_table.py three-foams.h5 --only input --over thickness\n"
               "exit codes: 0 done, 2 bad input, 4 could not write",
    )
    parser.add_argument("table", type=Path, metavar="TABLE.h5", help="table of cases")
    command.add_output_options(parser, "default: beside the table")
    parser.add_argument("--over", nargs="+", default=[], metavar="INPUT",
                        help="inputs for the axes (default: those of most values)")
    parser.add_argument("--only", nargs="+", choices=PICTURES, metavar="PICTURE",
                        help=f"any of: {', '.join(PICTURES)}")
    return parser


if __name__ == "__main__":
    sys.exit(command.run(main))
