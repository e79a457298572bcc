"""How values, differences, bars and verdicts are written on the page and on the screen."""

import re

from checks.support import Line


def number(value):
    return f"{value:.6g}" if isinstance(value, (int, float)) else " to ".join(f"{v:g}" for v in value)


def with_unit(value, unit):
    return number(value) + (f" {unit}" if unit else "")


def difference(row):
    if row.kind == "not run":
        return ""
    if row.kind == "shown":
        return "" if isinstance(row.reference, tuple) else f"({row.ours - row.reference:+.2g})"
    if row.kind == "range":
        return "0" if row.difference == 0 else f"{row.difference:+.2g}"
    return f"{100 * row.difference:+.2g} %" if row.kind == "relative" else f"{row.difference:+.2g}"


def bar(row):
    if row.kind == "not run":
        return ""
    if row.kind == "shown":
        return "shown only"
    if row.kind == "range":
        return "in range"
    if row.bar == 0:
        return "none allowed"
    return f"{100 * row.bar:.2g} %" if row.kind == "relative" else f"{row.bar:.2g}"


def known(module, row):
    """The explained miss that covers a row, or None."""
    entry = getattr(module, "KNOWN", {}).get(row.what)
    return entry if entry and abs(row.difference) <= entry.most else None


def verdict(module, row):
    if row.kind == "shown":
        return ""
    if row.kind == "not run":
        return "not run"
    if row.passed:
        return "ok"
    return "MISS, known" if known(module, row) else "MISS"


def judged(rows):
    return [row for row in rows if row.kind != "shown"]


def nearest_to_its_bar(rows):
    """A missed row if there is one, else the judged row that uses most of its bar."""
    return max(judged(rows), key=lambda r: (not r.passed, abs(r.difference) / (r.bar or 1)))


def lines_of(module, rows):
    """[(Line, its rows)]; every judged row belongs to the first line that it fits."""
    lines = getattr(module, "LINES", [Line(module.NAME)])
    groups = [[] for _ in lines]
    for row in judged(rows):
        fitting = [i for i, line in enumerate(lines) if re.search(line.fits, row.what)]
        if not fitting:
            raise ValueError(f"{module.__name__}: no line of the table takes '{row.what}'")
        groups[fitting[0]].append(row)
    return [(line, group) for line, group in zip(lines, groups) if group]
