"""Writes SECTION_SPEED.md and its pictures from the figures that `measure_sections` took. Every number
of the page comes from them."""

import statistics

SOLVERS = ("library", "CVODE", "IDA")
PEERS = SOLVERS[1:]
COLOUR = {"library": "#0072B2", "CVODE": "#D55E00", "IDA": "#999999"}
NAME = {"library": "Thawline", "CVODE": "CVODE", "IDA": "IDA"}
HOLD, TEMPERATURE = "hold_time_error", "temperature_error_K"
BARS = ((HOLD, 1e-3, "hold time, 0.1 %"), (HOLD, 2e-4, "hold time, 0.02 %"),
        (TEMPERATURE, 0.1, "temperature, 0.1 K"), (TEMPERATURE, 0.02, "temperature, 0.02 K"))
GOAL = 10  # times faster than a peer, at about 40 000 cells
WHOLE_GOAL = 5  # seconds of the clock for 48 h with about 40 000 cells on two threads, hold time within 0.1 %


def seconds(run):
    return statistics.median(run["seconds"])


def spread(run):
    if len(run["seconds"]) == 1:
        return f"{seconds(run):.3g}"
    return f"{seconds(run):.3g} ({min(run['seconds']):.3g}–{max(run['seconds']):.3g})"


def of(box, solver):
    return [r for r in box["runs"] if r["solver"] == solver]


def default_run(box):
    return next(r for r in of(box, "library") if r["tolerance_K"] == 0.05)


def variant(run):
    """Solver and settings of a run, without its tolerance."""
    solver, _, words = run["run"].partition("@")
    return solver + words.partition(",")[1] + words.partition(",")[2]


def variants(box, solver):
    groups = {}
    for run in of(box, solver):
        groups.setdefault(variant(run), []).append(run)
    return groups


def fastest(box, solver, error, bar):
    """The fastest run whose error keeps the bar, and keeps it at all finer tolerances with the same
    settings too: a lucky rough run does not count. What was given up for time speaks neither way."""
    good = []
    for group in variants(box, solver).values():
        for run in sorted(group, key=lambda r: r["tolerance_K"]):
            if run.get("gave_up") == "out of time":
                continue
            if not run["completed"] or run.get(error, float("inf")) > bar:
                break
            good.append(run)
    return min(good, key=seconds) if good else None


def title(box):
    return f"`{box['name']}`, {box['cells']} cells"


def error_words(run, error):
    if error not in run:
        return "-"
    return f"{100 * run[error]:.2g} %" if error == HOLD else f"{run[error]:.2g}"


def ratio_words(peer, ours):
    return f"{seconds(peer) / seconds(ours):.1f}" if peer and ours else "-"


def run_words(run):
    return f"{spread(run)} s, {run['run'].replace('library@', '').replace(',ordering=nested', '')}" if run else "none"


def whole_table(boxes):
    lines = ["| section | cells | hours | run | seconds (least–most) | steps | not taken | iterations | factorings | "
             "error, K | of hold time |", "|---|---|---|---|---|---|---|---|---|---|---|"]
    for box in boxes:
        for r in box["runs"]:
            words = f"gave up at {r['reached_h']:.2f} h" if not r["completed"] else error_words(r, TEMPERATURE)
            lines.append(f"| {box['name']} | {box['cells']} | {box['hours']:g} | {r['run'].replace('library', NAME['library'])} "
                         f"| {spread(r)} | {r['steps']} | {r['attempts'] - r['steps']} | {r['iterations']} | "
                         f"{r['factorings'] or '-'} | {words} | {error_words(r, HOLD)} |")
    return lines


def references(boxes):
    lines = []
    for box in boxes:
        words = f"- {title(box)}: {box['reference']['run'].replace('library', NAME['library'])}"
        beside = box.get("beside")
        if beside and beside["completed"]:
            words += (f"; {beside['run']} lies {beside[TEMPERATURE]:.2g} K from it"
                      + (f" and {100 * beside[HOLD]:.2g} % of the hold time" if HOLD in beside else ""))
        elif beside:
            words += f"; {beside['run']} gave up at {beside['reached_h']:.2f} h"
        end = box["reference"].get("end_h")
        lines.append(words + (f". Hold ends at {end:.3f} h." if end else ". The limit is not reached."))
    return lines


def bars_table(boxes):
    lines = ["| section | cells | hours | bar | Thawline | CVODE | IDA | CVODE/Thawline | IDA/Thawline |",
             "|---|---|---|---|---|---|---|---|---|"]
    for box in boxes:
        for error, bar, words in BARS:
            found = {s: fastest(box, s, error, bar) for s in SOLVERS}
            lines.append(f"| {box['name']} | {box['cells']} | {box['hours']:g} | {words} | "
                         + " | ".join([run_words(r) for r in found.values()]
                                      + [ratio_words(found[p], found["library"]) for p in PEERS]) + " |")
    return lines


def work_part(boxes):
    return ["## At equal errors", "",
            "The fastest run that keeps a bar, and keeps it at every finer tolerance with the same settings, runs given up "
            "for time left out. Thawline is given by its accuracy, a peer by its tolerance and what is not SUNDIALS' own setting; all peers here have KLU "
            "with nested dissection. Farthest probe at any half hour; hold time, relative.", "",
            *bars_table(boxes), "", "![work and error](section-work.png)", "", "## References", "",
            "What errors are measured against, and how far an integrator that shares nothing with it but the cells and "
            "links lies from it at a tight tolerance.", "", *references(boxes), "", "## All runs", "",
            *whole_table(boxes), ""]


def middle_part(boxes):
    return ["## About 10 000 cells", "", *bars_table(boxes), "", *references(boxes), "", *whole_table(boxes), ""]


def large_part(boxes):
    lines = ["## About 40 000 cells", "", *bars_table(boxes), "", *references(boxes), ""]
    for box in boxes:
        ours = default_run(box)
        lines.append(f"- {title(box)}, {box['hours']:g} h: Thawline {seconds(ours):.3g} s at its default accuracy (error "
                     f"{error_words(ours, TEMPERATURE)} K, {error_words(ours, HOLD)} of the hold time).")
        for error, bar, words in BARS:
            ours = fastest(box, "library", error, bar)
            for peer in PEERS:
                run = fastest(box, peer, error, bar)
                if not run or not ours:
                    continue
                ratio = seconds(run) / seconds(ours)
                lines.append(f"  - {words}: {NAME[peer]} takes {ratio:.1f} times as long; the goal of {GOAL} is "
                             f"{'met' if ratio >= GOAL else 'missed'}.")
        for run in box["runs"]:
            if run["completed"]:
                continue
            ratio = seconds(run) / seconds(default_run(box))
            lines.append(f"  - {run['run']} had reached hour {run['reached_h']:.2f} of {box['hours']:g} after "
                         f"{seconds(run):.4g} s ({run['gave_up']}): more than {ratio:.1f} times Thawline's default run.")
    return lines + ["", *whole_table(boxes), ""]


def settings_part(box):
    lines = ["## Settings of the peers that were tried", "",
             f"{title(box)}, {box['hours']:g} h, one setting changed at a time from a row that has only its order of "
             "elimination. `colamd`, `amd`, `nested` (dissection by CHOLMOD): KLU's order; `order`: highest of BDF; "
             "`melting`: cells' tolerances count heat of melting as if spread over so many K; `change`: of γ or cj before "
             "the matrix is made anew; `steps`: most of them on one matrix; `share`: Newton's bar; `iterations`: most a "
             "step. Matrices are made from a new Jacobian each time, which costs little beside their factors.", "",
             "| run | seconds (least–most) | steps | factorings | error, K | of hold time |", "|---|---|---|---|---|---|"]
    for r in box["runs"]:
        words = error_words(r, TEMPERATURE) if r["completed"] else f"gave up at {r['reached_h']:.2f} h"
        lines.append(f"| {r['run']} | {spread(r)} | {r['steps']} | {r['factorings']} | {words} | {error_words(r, HOLD)} |")
    return lines + [""]


def sharp_part(box):
    lines = ["## Melting at one temperature", "",
             f"{title(box)}, {box['hours']:g} h. Fronts placed at each evaluation, or (`fronts=step`) after each step "
             "only, so that they stand still while a peer's corrector iterates.", "", *whole_table([box])]
    return lines + [""]


def exponent(rows, value):
    import numpy as np
    return float(np.polyfit(np.log([r["cells"] for r in rows]), np.log([value(r) for r in rows]), 1)[0])


def one_iteration(row):
    clock = row["march_s"]["processor" if row["threads"] == 1 else "clock"]
    return 1e3 * clock / row["newton_iterations"]


def cost_part(rows):
    lines = ["## Cost against cells", "",
             f"Thawline alone, `{rows[0]['name']}`, accuracy {rows[0]['accuracy_K']:g} K, no history, by `section_run`. Seconds "
             "are of the processor on one thread and of the clock on two. Closure: |heat in − stored| over all heat "
             "exchanged. Memory: peak over what the program held before the section was built.", "",
             "| cells | hours | threads | steps | rejected | iterations | linear iterations | march, s | ms an iteration | B a cell "
             "| heat in, J | stored, J | closure |", "|---|---|---|---|---|---|---|---|---|---|---|---|---|"]
    for r in rows:
        lines.append(f"| {r['cells']} | {r['hours']:g} | {r['threads']} | {r['steps']} | {r['rejected']} | "
                     f"{r['newton_iterations']} | {r['linear_iterations']} | "
                     f"{r['march_s']['processor' if r['threads'] == 1 else 'clock']:.3g} | {one_iteration(r):.3g} | "
                     f"{r['bytes_a_cell']:.0f} | {r['heat_in_J']:.6g} | {r['stored_J']:.6g} | {r['closure']:.1e} |")
    words = []
    short = min(r["hours"] for r in rows)
    for threads in (1, 2):
        some = [r for r in rows if r["threads"] == threads and r["hours"] == short]
        words.append(f"cells^{exponent(some, one_iteration):.2f} on {threads} thread{'s' if threads > 1 else ''}")
    one = {(r["cells"], r["hours"]): r for r in rows if r["threads"] == 1}
    two = {(r["cells"], r["hours"]): r for r in rows if r["threads"] == 2}
    gains = [f"{one[n]['march_s']['clock'] / two[n]['march_s']['clock']:.2f} ({n[0]} cells, {n[1]:g} h)" for n in one]
    return lines + ["", f"One iteration of Newton costs as {' and as '.join(words)}, fitted from {min(one)[0]} to {max(one)[0]} "
                    f"cells over the first {short:g} h. Two threads are faster by the clock than one by {', '.join(gains)}.", "",
                    "![cost of an iteration](section-cost.png)", ""]


def whole_part(found):
    reference = found["reference"]
    first = found["runs"][0][0]
    lines = ["## All hours with about 40 000 cells", "",
             f"`{first['name']}`, {first['cells']} cells, {first['hours']:g} h, no history, by the clock; hold times against "
             f"those of an accuracy of {reference['accuracy_K']:g} K ({reference['end_h']:.4f} h).", "",
             "| accuracy, K | threads | march, s (least–most) | steps | iterations | linear iterations | of hold time |",
             "|---|---|---|---|---|---|---|"]
    kept = []
    for runs in found["runs"]:
        clock = {"seconds": [r["march_s"]["clock"] for r in runs]}
        r = runs[0]
        error = abs(r["end_h"] / reference["end_h"] - 1)
        if error <= 1e-3 and r["threads"] == 2:
            kept.append((seconds(clock), r["accuracy_K"]))
        lines.append(f"| {r['accuracy_K']:g} | {r['threads']} | {spread(clock)} | {r['steps']} | {r['newton_iterations']} | "
                     f"{r['linear_iterations']} | {100 * error:.2g} % |")
    best, accuracy = min(kept)
    return lines + ["", f"The fastest on two threads with a hold time within 0.1 %: {best:.3g} s at {accuracy:g} K; the goal of "
                    f"{WHOLE_GOAL} s is {'met' if best <= WHOLE_GOAL else 'missed'}.", ""]


def shares_part(found):
    lines = ["## Shares of a run", ""]
    for box in found:
        def median(runs, *parts):
            return statistics.median(sum(r[p]["clock"] for p in parts) for r in runs)
        shares = [("reading all materials (once a program)", median(box["without"], "reading_materials_s")),
                  ("reading the case", median(box["without"], "reading_case_s")),
                  ("building cells and links", median(box["without"], "building_s")),
                  ("the march", median(box["without"], "march_s"))]
        with_history = median(box["with"], "opening_history_s", "march_s", "closing_history_s")
        shares.append(("writing the history", with_history - shares[-1][1]))
        whole = sum(s for _, s in shares)
        first = box["without"][0]
        lines += [f"`{box['name']}`, {first['cells']} cells, {first['hours']:g} h, by the clock, one thread, medians of "
                  f"{len(box['without'])}: " + ", ".join(f"{words} {s:.3g} s ({100 * s / whole:.2g} %)" for words, s in shares)
                  + f". The history is the difference of runs with and without it; it has {box['history_bytes'] / 1e6:.3g} MB.", ""]
    return lines


def work_picture(boxes, folder):
    import matplotlib.pyplot as plt
    from matplotlib.ticker import LogLocator
    fig, axes = plt.subplots(len(boxes), 2, figsize=(9, 3.1 * len(boxes)), layout="constrained", squeeze=False)
    for row, box in zip(axes, boxes):
        for ax, error, label in ((row[0], HOLD, "error of the hold time / %"),
                                 (row[1], TEMPERATURE, "largest error of a probe / K")):
            scale = 100 if error == HOLD else 1
            lines = [(solver, k, group) for solver in SOLVERS for k, group in enumerate(variants(box, solver).items())]
            for solver, k, (words, group) in lines:
                some = [r for r in group if r["completed"] and r.get(error, 0) > 0]
                if not some:
                    continue
                low = [seconds(r) - min(r["seconds"]) for r in some]
                high = [max(r["seconds"]) - seconds(r) for r in some]
                ax.errorbar([seconds(r) for r in some], [scale * r[error] for r in some], xerr=[low, high], fmt=("o-", "s--", "^:")[k], ms=4,
                            lw=1, color=COLOUR[solver],
                            label=words.replace("library", NAME["library"]).replace(",ordering=nested", ""))
            ax.set(xscale="log", yscale="log", xlabel="processor time / s", ylabel=label)
            ax.set_title(f"{box['name']}, {box['cells']} cells, {box['hours']:g} h", fontsize=10)
            ax.xaxis.set_minor_locator(LogLocator(subs=(2, 5)))
            ax.xaxis.set_major_formatter("{x:g}")
            ax.xaxis.set_minor_formatter("{x:g}")
            ax.grid(alpha=0.3, which="both")
            if ax is row[0]:
                ax.legend(framealpha=0.9, fontsize=6, loc="best" if box is boxes[0] else "lower left")
    fig.savefig(folder / "section-work.png", dpi=100)
    plt.close(fig)


def cost_picture(rows, folder):
    import matplotlib.pyplot as plt
    fig, ax = plt.subplots(figsize=(5.5, 3.8), layout="constrained")
    for threads, colour, mark in ((1, "#0072B2", "o-"), (2, "#009E73", "s--")):
        some = [r for r in rows if r["threads"] == threads and r["hours"] == min(q["hours"] for q in rows)]
        ax.loglog([r["cells"] for r in some], [one_iteration(r) for r in some], mark, ms=4, color=colour,
                  label=f"{threads} thread{'s' if threads > 1 else ''}")
    ax.set(xlabel="cells", ylabel="ms an iteration of Newton")
    ax.grid(alpha=0.3, which="both")
    ax.legend(frameon=False)
    fig.savefig(folder / "section-cost.png", dpi=100)
    plt.close(fig)


def write(figures, folder):
    import matplotlib
    matplotlib.use("Agg")
    lines = ["# How fast a section is", "",
             "Written by `validation/speed/measure_sections` from `section-figures.json`; packages: "
             "`validation/speed/packages`. Processor time of one thread where nothing else is said, medians of rounds in "
             "which all take turns, least and most in brackets. The peers are SUNDIALS' BDF integrators with KLU on the same "
             "cells, links and T(h), each given the analytic Jacobian. CVODE balances the surfaces, which have no heat "
             "capacity, at each evaluation, and solves with the matrix of cells and surfaces together; IDA has them as "
             "algebraic equations.", ""]
    parts = (("work", work_part), ("middle", middle_part), ("large", large_part), ("cost", cost_part), ("whole", whole_part),
             ("shares", shares_part),
             ("sharp", sharp_part), ("settings", settings_part))
    for name, part in parts:
        if name in figures:
            lines += part(figures[name])
    (folder / "SECTION_SPEED.md").write_text("\n".join(lines))
    if "work" in figures:
        work_picture(figures["work"], folder)
    if "cost" in figures:
        cost_picture(figures["cost"], folder)
    print("\n".join(lines))
