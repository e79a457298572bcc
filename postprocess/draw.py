#!/usr/bin/python3
"""Draws the pictures of Thawline histories: the command."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

import command
from interpreter import ensure_libraries

DONE, BAD_INPUT, NOT_WRITTEN = 0, 2, 4
SINGLE = ("temperatures", "coolant", "heat", "depth", "overview")
SECTION = ("spread", "section", "flow")
FILM = "film"
COMPARISON = "comparison"
ALL = (*SINGLE, *SECTION, FILM, COMPARISON)


def main(arguments: list[str] | None = None) -> int:
    """Run the command and return its exit code."""
    options = _parser().parse_args(arguments)
    ensure_libraries()

    import matplotlib

    matplotlib.use("Agg")
    import look
    from history import HistoryError, read_history
    from output import OutputError, refuse_foreign, save_all, save_film, targets
    from pages import comparison_page, page

    def wanted(name: str, history) -> bool:
        if options.only:
            return name in options.only
        return name in SINGLE or history.section is not None

    try:
        histories = [read_history(path) for path in options.histories]
        folders = [options.out or history.path.parent for history in histories]
        _require_distinct(
            [(folder.resolve(), history.stem) for folder, history in zip(folders, histories)]
        )
    except (HistoryError, SameNames) as error:
        print(error, file=sys.stderr)
        return BAD_INPUT
    for history in histories:
        if history.notice:
            print(f"{history.path}: {history.notice}.", file=sys.stderr)

    compared = (not options.only or COMPARISON in options.only) and len(histories) > 1
    try:
        for folder, history in zip(folders, histories):
            for name in (*SINGLE, *SECTION, FILM):
                if wanted(name, history):
                    for path in targets(folder / f"{history.stem}-{name}",
                                        ("gif",) if name == FILM else options.format):
                        refuse_foreign(path)
        together = folders[0] / f"{histories[0].stem}-{COMPARISON}"
        for path in targets(together, options.format) if compared else ():
            refuse_foreign(path)
        with matplotlib.rc_context(dict(look.STYLE)):
            for folder, history in zip(folders, histories):
                for name in (*SINGLE, *SECTION):
                    if wanted(name, history):
                        save_all(page(name, history), folder / f"{history.stem}-{name}",
                                 options.format)
                if wanted(FILM, history):
                    path = folder / f"{history.stem}-{FILM}.gif"
                    if save_film(history, path):
                        print(path)
            if compared:
                save_all(comparison_page(histories), together, options.format)
    except OutputError as error:
        print(error, file=sys.stderr)
        return NOT_WRITTEN
    return DONE


class SameNames(Exception):
    """Two histories would write the same files; the message is one whole sentence."""


def _require_distinct(targets: list[tuple[Path, str]]) -> None:
    for folder, stem in targets:
        if targets.count((folder, stem)) > 1:
            raise SameNames(f"Two histories would both be drawn as {folder / stem}-*.")


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="draw.py",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        description="Draw the pictures of one or more Thawline histories.\n"
                    "Several histories also get one picture that compares them.",
        epilog="example:\n"
               "  postprocess/draw.py picnic.h5 --out pictures --format png --only depth\n\n"
               "exit codes: 0 done, 2 bad input, 4 could not write",
    )
    parser.add_argument("histories", nargs="+", type=Path, metavar="HISTORY.h5",
                        help="history file, also an unfinished .h5.part")
    command.add_output_options(parser, "where to write (default: beside each history)")
    parser.add_argument("--only", nargs="+", choices=ALL, metavar="PICTURE",
                        help=f"any of: {', '.join(ALL)}; spread, section, flow and film are "
                             "drawn unasked for runs with a section")
    return parser


if __name__ == "__main__":
    sys.exit(command.run(main))
