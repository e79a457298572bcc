#!/usr/bin/python3
"""Holds what the program says ended a limit against the fields it wrote, for random cases.

Written apart from the program's own rules (solver/results/what_ended.hpp), from their words: the
end is found again on the curve of the probe, frozen shares and temperatures are read off the fields.
A case is left out where the fields cannot tell: within a small margin of a threshold, or where two
resistances are alike.

    validation/ends/agree.py build/release/thawline build/release/tests/random_cases/random_cases
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
import tempfile
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import h5py
import numpy as np
import yaml

ROWS = 1500
SPENT, MARGIN = 0.05, 0.01
ALIKE = 0.2  # K
ZERO_C = 273.15


class Unclear(Exception):
    """The fields cannot tell."""


class Fields:
    """One run as its file has it, read at any instant by straight lines between rows."""

    def __init__(self, file: h5py.File) -> None:
        self.time = file["time"][:]
        names = list(file["probes/names"].asstr())
        self.probes = dict(zip(names, file["probes/temperature"][:].T))
        self.coolants = list(file["coolant/names"].asstr()) if "coolant/mass" in file else []
        self.payloads = list(file["payload/names"].asstr()) if "payload/mass" in file else []
        parts = list(file["grid/part_names"].asstr())
        self.part = np.array([parts[i] for i in file["grid/part"][:]])
        self.temperature = file["fields/temperature"]
        self.enthalpy = file["fields/enthalpy"]
        self.fraction = file["fields/liquid_fraction"]
        self.volume = file["grid/volume"][:]
        self.mass = {}
        for kind, items in (("coolant", self.coolants), ("payload", self.payloads)):
            for i, name in enumerate(items):
                self.mass[kind, name] = file[f"{kind}/mass"][:, i]
        self.resolved = json.loads(file["case/resolved"].asstr()[0])

    def at(self, series, when: float) -> np.ndarray:
        after = int(np.clip(np.searchsorted(self.time, when), 1, len(self.time) - 1))
        share = (when - self.time[after - 1]) / (self.time[after] - self.time[after - 1])
        return (1 - share) * series[after - 1] + share * series[after]

    def present(self, kind: str, name: str, when: float) -> bool:
        return self.at(self.mass[kind, name], when - 1e-6) > 0


def own_end(run: Fields, limit: dict, past: np.ndarray) -> float | None:
    """The instant the limit ends: the first rise past it after it was met."""
    within = np.flatnonzero(past <= 0)
    if len(within) == 0:
        return None
    later = np.flatnonzero(past[within[0]:] > 1e-9)
    if len(later) == 0:
        return None
    row = within[0] + later[0]
    share = past[row - 1] / (past[row - 1] - past[row])
    return run.time[row - 1] + share * (run.time[row] - run.time[row - 1])


def past_limit(run: Fields, limit: dict) -> np.ndarray:
    curves = np.array([run.probes[name] for name in limit["probes"]])
    if limit["side"] == "not_above":
        return curves.max(axis=0) - limit["temperature_K"]
    return limit["temperature_K"] - curves.min(axis=0)


def coolants_at(run: Fields, when: float) -> dict[str, dict]:
    """Frozen share, front and mean temperature of the coolants in the box."""
    out = {}
    temperature, fraction = run.at(run.temperature, when), run.at(run.fraction, when)
    for name in run.coolants:
        if not run.present("coolant", name, when):
            continue
        cells = run.part == f"coolant {name}"
        volume, f, t = run.volume[cells], fraction[cells], temperature[cells]
        solid = volume * (1 - f) * (f >= 0)
        out[name] = {"mass": float(run.at(run.mass["coolant", name], when)),
                     "melts": bool(np.all(f >= 0)), "mean": np.average(t, weights=volume),
                     "frozen": solid.sum() / volume.sum(),
                     "front": np.average(t, weights=solid) if solid.sum() > 0 else None}
    return out


def frozen_share(coolants: dict[str, dict]) -> float:
    melting = [c for c in coolants.values() if c["melts"]]
    mass = sum(c["mass"] for c in melting)
    return sum(c["mass"] * c["frozen"] for c in melting) / mass if mass else -1.0


def near(value: float, threshold: float, margin: float) -> None:
    if abs(value - threshold) < margin:
        raise Unclear


def open_before(case: dict, when: float) -> bool:
    return any(h["at"] <= when <= h["at"] + h["open"] + 1800 for h in case["openings"])


def cause(run: Fields, case: dict, limit: dict, when: float, came_back: bool, ended: bool,
          coolants: dict) -> set[str]:
    """The causes that the fields allow."""
    if limit["side"] == "not_below":
        if not ended:
            return {"started_too_cold"}
        if came_back and open_before(case, when):
            return {"opening"}
        coldest = min((c["mean"] for c in coolants.values()), default=1e9)
        near(coldest, limit["temperature_K"], 0.05)
        return {"coolant_too_cold" if coldest < limit["temperature_K"] else "cold_outside"}
    if came_back and open_before(case, when):
        return {"opening"}
    added = [h for h in case["added"] if when - 7200 <= h["at"] <= when
             and case["payload_start"].get(h["item"], 0) > limit["temperature_K"]]
    if added and ended:
        return {"put_in"}
    frozen = frozen_share(coolants)
    if frozen >= 0:
        near(frozen, SPENT, MARGIN)
    if frozen < SPENT:
        removed = [h for h in case["removed"] if h["at"] <= when and h["item"] in run.coolants]
        if removed:
            return {"taken_out", "spent", "no_coolant", "started_too_warm"}
        if frozen < 0:
            return {"no_coolant"}
        given, taken = heats(run, when)
        near(given, 0.5 * taken, 0.05 * abs(taken))
        return {"started_too_warm" if given >= 0.5 * taken else "spent"}
    most = most_left(run, coolants)
    near(coolants[most]["front"], limit["temperature_K"] - 0.05, 0.05)
    if coolants[most]["front"] >= limit["temperature_K"] - 0.05:
        return {"melts_above", "spent"}
    ambient = run.probes["ambient"]
    spell = (run.time >= when - 21600) & (run.time <= when)
    mean = np.trapz(ambient, run.time) / (run.time[-1] - run.time[0])
    warm = ambient[spell].max() - mean - 0.5
    if came_back:
        near(warm, 0, 0.1)
    return {"weather" if came_back and warm > 0 else "out_of_reach"}


def heats(run: Fields, when: float) -> tuple[float, float]:
    now, start = run.at(run.enthalpy, when), run.enthalpy[0]
    sums = {"coolant": 0.0, "payload": 0.0}
    for kind, names in (("coolant", run.coolants), ("payload", run.payloads)):
        for name in names:
            if not run.present(kind, name, when):
                continue
            cells = np.isin(run.part, [f"{kind} {name}", f"shell of {name}"])
            sums[kind] += (now - start)[cells].sum()
    return -sums["payload"], sums["coolant"]


def most_left(run: Fields, coolants: dict) -> str:
    """The coolant with the most frozen heat, by the enthalpy its cells span while they melt."""
    left = {}
    for name, c in coolants.items():
        if c["melts"] and c["frozen"] > 0:
            left[name] = c["mass"] * c["frozen"]
    if len(left) > 1:
        raise Unclear  # latent heats are not in the fields
    return next(iter(left))


def check_resistance(run: Fields, told: dict, when: float, coolants: dict, probe: float) -> str:
    name = told["coolant"]
    surface = f"{name} surface"
    if surface not in run.probes:
        return "no surface among the probes"
    front = coolants[name]["front"]
    skin, air = run.at(run.probes[surface], when), run.at(run.probes["air"], when)
    if told["by_contact"]:
        return "by contact"
    own = {"contents": probe - air, "film": air - skin, "pack": skin - front}
    said = told["largest_resistance"]
    if run.resolved["run"]["detail"] == "2d":
        return "of a section"  # its surfaces differ from place to place
    largest = max(own, key=own.get)
    if said != largest and own[largest] - own[said] > ALIKE:
        raise AssertionError(f"resistance {said} of {own}, told {told['drops_K']}")
    return "resistance agrees"


def plain_case(path: Path) -> dict:
    tree = yaml.load(path.read_text(), Loader=yaml.BaseLoader)
    seconds = lambda text: float(str(text).split()[0])
    happenings = tree.get("happenings") or []
    return {
        "openings": [{"at": seconds(h["at"]), "open": seconds(h["open_lid"])}
                     for h in happenings if "open_lid" in h],
        "added": [{"at": seconds(h["at"]), "item": h["add"]} for h in happenings if "add" in h],
        "removed": [{"at": seconds(h["at"]), "item": h["remove"]}
                    for h in happenings if "remove" in h],
        "payload_start": {p.get("name"): seconds(p["start"]) + ZERO_C
                          for p in tree.get("payload") or []},
        "duration": seconds(tree["run"]["duration"]),
        "tree": tree,
    }


def judge(program: Path, path: Path, folder: Path) -> list[str]:
    case = plain_case(path)
    case["tree"]["run"]["output_every"] = f"{max(case['duration'] / ROWS, 1):.3f} s"
    case["tree"]["run"]["fields"] = "on"
    finer = path.with_name(path.stem + "-rows.yaml")
    finer.write_text(yaml.safe_dump(case["tree"], sort_keys=False))
    history = folder / f"{path.stem}.h5"
    done = subprocess.run([program, "run", finer, "--history", history, "--json", "--quiet"],
                          capture_output=True, text=True, check=False)
    if done.returncode != 0:
        return [f"not run ({done.returncode})"]
    answers = json.loads(done.stdout)
    out = []
    with h5py.File(history) as file:
        run = Fields(file)
        for limit, told in zip(run.resolved["limits"], answers["limits"]):
            if told["ended"] is None:
                out.append("nothing ended")
                continue
            try:
                out.append(judge_limit(run, case, limit, told))
            except Unclear:
                out.append("too near to tell")
            except AssertionError as error:
                out.append(f"WRONG {path.stem}: {error}")
    history.unlink()
    finer.unlink()
    return out


def judge_limit(run: Fields, case: dict, limit: dict, told: dict) -> str:
    past = past_limit(run, limit)
    said = told["ended"]
    ended = told["end_time_s"] is not None
    if ended:
        if any(run.mass[key][0] != run.mass[key][-1] or np.ptp(run.mass[key]) > 0
               for key in run.mass):
            when = told["end_time_s"]  # curves leap where things are moved
        else:
            when = own_end(run, limit, past)
            if when is None or abs(when - told["end_time_s"]) > 2 * np.diff(run.time).max():
                raise Unclear
            when = told["end_time_s"]
    else:
        when = said["looked_at_s"]
    row = np.diff(run.time).max()
    if said["by"] != "put_in" and any(abs(h["at"] - when) <= row
                                      for h in case["added"] + case["removed"]):
        raise Unclear  # something came or went between these rows
    after = int(np.clip(np.searchsorted(run.time, when), 1, len(run.time) - 1))
    instants = (when, run.time[after - 1], run.time[after])
    shares = [frozen_share(coolants_at(run, t)) for t in instants]
    mine = -1.0 if said["frozen_share"] is None else said["frozen_share"]
    if not min(shares) - MARGIN <= mine <= max(shares) + MARGIN:
        raise AssertionError(f"frozen {mine}, from the fields {shares}")
    came_back = told["returns"] > 0
    allowed = set().union(*(cause(run, case, limit, t, came_back, ended, coolants_at(run, t))
                            for t in instants))
    if said["by"] not in allowed:
        raise AssertionError(f"{said['by']}, from the fields {allowed}")
    if said["by"] != "out_of_reach":
        return said["by"]
    worst = limit["temperature_K"] + float(run.at(past, when))
    return f"out_of_reach, {check_resistance(run, said, when, coolants_at(run, when), worst)}"


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("program", type=Path)
    parser.add_argument("random_cases", type=Path)
    parser.add_argument("--number", type=int, default=300)
    parser.add_argument("--seed", type=int, default=17)
    parser.add_argument("--detail", default="1d")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        subprocess.run([options.random_cases, "--number", str(options.number), "--seed",
                        str(options.seed), "--detail", options.detail, "--write", folder / "cases",
                        "--keep", folder / "failed", "--jobs", "2"], check=True,
                       stdout=subprocess.DEVNULL)
        paths = sorted((folder / "cases").glob("*.yaml"))
        with ThreadPoolExecutor(2) as pool:
            results = list(pool.map(lambda p: judge(options.program.resolve(), p, folder), paths))
    counts = Counter("WRONG" if r.startswith("WRONG") else r for one in results for r in one)
    for what, number in counts.most_common():
        print(f"{number:5}  {what}")
    for one in results:
        for r in one:
            if r.startswith("WRONG"):
                print(r)
    return 1 if counts["WRONG"] else 0


if __name__ == "__main__":
    sys.exit(main())
