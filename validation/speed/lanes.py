"""The section of SPEED.md about lanes: several cases in lockstep, each a lane of a register. From what
`lanes` (what lanes gain) and `lane_steps` (what lockstep loses) measured."""

LANES = (2, 4, 8)
INSTRUCTIONS = {"plain": "2 doubles a register", "avx2": "AVX2, 4 doubles"}
SCOPES = {"parts": "elimination and T(h) in lanes, the rest as it is",
          "all_least": "all in lanes, if the rest gained as T(h) does",
          "all_most": "all in lanes, if the rest gained as the elimination does"}
LOCKSTEPS = {"iterations": "one step for all", "own_steps_iterations": "each on its own steps"}
FASTER = 1.05  # less is not worth a second code


def gain(bench, work, instructions, n):
    """Cases done in the time of one, against the faster of the same code and the library's for one."""
    single = [bench[name]["cpu_time"] for name in (f"{work}/{instructions}/1", f"{work}_library") if name in bench]
    return n * min(single) / bench[f"{work}/{instructions}/{n}"]["cpu_time"]


def best_gain(bench, work, n):
    return max(gain(bench, work, i, n) for i in INSTRUCTIONS if f"{work}/{i}/{n}" in bench)


def speedup(bench, shares, n, scope):
    """By Amdahl, from the shares of a march."""
    eliminate, evaluate = shares["elimination"], shares["temperatures"]
    elimination, temperatures = (best_gain(bench, work, n) for work in ("elimination", "temperatures"))
    rest = {"parts": 1, "all_least": temperatures, "all_most": elimination}[scope]
    return 1 / (eliminate / elimination + evaluate / temperatures + (1 - eliminate - evaluate) / rest)


def loss(sweeps, n, lockstep):
    """Work of a case in lockstep over its work alone: iterations, and lanes that shorter cases leave
    empty; mean of the sweeps."""
    groups = [g for sweep in sweeps for g in sweep["groups"] if g["lanes"] == n]
    return sum(g[lockstep] * g["cells"] for g in groups) / len(groups)


def verdict(bench, sweeps, shares):
    """Of each way, the best number of lanes: today's time over its time, at most."""
    lines = ["| at most so many times as fast as today | " + " | ".join(LOCKSTEPS.values()) + " |",
             "|---" * (1 + len(LOCKSTEPS)) + "|"]
    for scope, words in SCOPES.items():
        cells = []
        for lockstep in LOCKSTEPS:
            best, n = max((speedup(bench, shares, n, scope) / loss(sweeps, n, lockstep), n) for n in LANES)
            cells.append(f"{best:.2f} ({n} lanes): " + ("may pay" if best >= FASTER else "**does not pay**"))
        lines.append(f"| {words} | " + " | ".join(cells) + " |")
    return lines


def section(bench, sweeps, shares):
    rest = 1 - shares["elimination"] - shares["temperatures"]
    lines = ["## Lanes", "",
             "Would several cases at once, each a lane of a register, be faster than one after the other? Gain: "
             "cases done in the time of one, by `lanes`, for the elimination and T(h) of a Newton iteration of "
             "neighbouring gel boxes. "
             f"Shares of the march's instructions: elimination {100 * shares['elimination']:.0f} %, T(h) "
             f"{100 * shares['temperatures']:.0f} %, rest {100 * rest:.0f} %.", "",
             "| lanes | " + " | ".join(f"{work}, {words}" for work in ("elimination", "T(h)")
                                      for words in INSTRUCTIONS.values()) + " | march by Amdahl: both | rest "
             "as T(h) | rest as elimination |", "|---" * 8 + "|"]
    for n in LANES:
        gains = [f"{gain(bench, work, i, n):.2f}" if f"{work}/{i}/{n}" in bench else "-"
                 for work in ("elimination", "temperatures") for i in INSTRUCTIONS]
        lines.append(f"| {n} | " + " | ".join(gains) + " | " + " | ".join(
            f"{speedup(bench, shares, n, scope):.2f}" for scope in SCOPES) + " |")
    same = sum(s["same_steps"] for s in sweeps)
    cases = sum(s["cases"] for s in sweeps)
    lines += ["", "Loss: work of a case in a group of neighbours over its work alone, by `lane_steps`. With one step "
              "for all a step is as short as the shortest of the group, is rejected when one of them is, and "
              "iterates until the last is done. \"Steps at least\" is a lower bound: at each time the shortest step "
              "that a member took alone. Steps and iterations are those of a real march of the group; a group of "
              f"one takes the library's very steps in {same} of {cases} cases. On its own steps each lane is at "
              "a time of its own, and the group ends with the slowest. Cells: of the largest case over the mean.", "",
              "| sweep | lanes | steps at least | steps | iterations | iterations on own steps | cells |",
              "|---|---|---|---|---|---|---|"]
    for sweep in sweeps:
        for g in sweep["groups"]:
            lines.append(f"| {sweep['sweep']}, {sweep['cases']} cases | {g['lanes']} | " + " | ".join(
                f"{g[key]:.2f}" for key in ("least_steps", "steps", "iterations", "own_steps_iterations", "cells"))
                + " |")
    return lines + ["", "Verdict: gain by Amdahl over loss. Moving values into lanes and out is not counted, and the "
                        "gain of the rest (flows, convection, step control) is assumed, not measured, so these are "
                        f"upper bounds; below {FASTER:g} lanes do not pay.", "", *verdict(bench, sweeps, shares), ""]
