"""RESULTS.md and its pictures."""

import pathlib
import subprocess
import textwrap

from words import bar, difference, judged, known, lines_of, nearest_to_its_bar, verdict, with_unit

HERE = pathlib.Path(__file__).resolve().parent


def cells(values):
    return "| " + " | ".join(values) + " |"


def plural(count, word):
    return f"{count} {word}" + ("" if count == 1 else "s")


def stem(module):
    return module.__name__.split(".")[-1]


def table_on_top(checks):
    """One line for each compared quantity. `checks`: [(number, module, outcome)]."""
    text = [cells(["check", "source", "reference", "ours", "difference", "bar", "why that bar",
                   "verdict"]), "|---|---|---|---|---|---|---|---|"]
    count = 0
    for index, module, outcome in checks:
        for line, rows in lines_of(module, outcome.rows):
            count += 1
            row = nearest_to_its_bar(rows)
            held = sum(r.passed for r in rows)
            missed = [r for r in rows if not r.passed]
            words = "ok" if not missed else verdict(module, row)
            text.append(cells([f"{index}. {line.title}<br>*{row.what}*", line.source or module.SOURCE,
                               with_unit(row.reference, row.unit), with_unit(row.ours, row.unit),
                               difference(row), bar(row), line.why or module.WHY,
                               f"{words}, {held} of {len(rows)}"]))
    return count, text


def section(index, module, outcome):
    rows = judged(outcome.rows)
    text = [f"## {index}. {module.NAME}", ""]
    for label, value in (("Source", module.SOURCE), ("Inputs", module.INPUTS), ("Bar", module.BAR),
                         ("Why that bar", module.WHY)):
        text += textwrap.wrap(f"**{label}:** {value}", 100) + [""]
    if hasattr(module, "NOTE"):
        text += textwrap.wrap(module.NOTE, 100) + [""]
    for row in rows:
        if not row.passed and row.kind != "not run":
            entry = known(module, row)
            text += textwrap.wrap(f"**Missed:** {row.what}. "
                                  + (entry.reason if entry else "Not explained."), 100) + [""]
    text += [f"![{module.NAME}](pictures/{stem(module)}.png)", "",
             f"{sum(r.passed for r in rows)} of {len(rows)} within the bar.", "",
             cells(["quantity", "reference", "ours", "difference", "bar", "verdict"]),
             "|---|---|---|---|---|---|"]
    for row in outcome.rows:
        text.append(cells([row.what, with_unit(row.reference, row.unit), with_unit(row.ours, row.unit),
                           difference(row), bar(row), verdict(module, row)]))
    return text + [""]


def picture(module, outcome):
    import matplotlib
    matplotlib.use("Agg")
    import matplotlib.pyplot as plt
    figure, ax = plt.subplots(figsize=(7.2, 4.2), dpi=90, constrained_layout=True)
    outcome.draw(ax)
    ax.grid(alpha=0.3)
    figure.savefig(HERE / "pictures" / (stem(module) + ".png"))
    plt.close(figure)


def write(checks, program):
    """Writes the page and all pictures. `program`: the built thawline."""
    version = subprocess.run([program, "--version"], capture_output=True, text=True).stdout.strip()
    count, table = table_on_top(checks)
    rows = [row for _, _, outcome in checks for row in judged(outcome.rows)]
    missed = sum(not row.passed for row in rows)
    summary = textwrap.wrap(
        f"Run with {version}: {plural(len(rows), 'judged value')} in {plural(count, 'line')}, "
        f"{len(rows) - missed} within the bar, {missed} outside. A line shows the value that comes "
        "nearest to its bar, or misses it worst, and how many of the line's values hold.", 100)
    text = [(HERE / "introduction.md").read_text(), *summary, "", *table, ""]
    for index, module, outcome in checks:
        text += section(index, module, outcome)
        picture(module, outcome)
    (HERE / "RESULTS.md").write_text("\n".join(text))
