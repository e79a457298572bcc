#!/usr/bin/python3
"""How often the intervals of `thawline fit` hold the truth: synthetic tests of random boxes.

    validation/trials/coverage.py build/release/thawline --number 200 --seed 1 --jobs 2

Each test is a box, a coolant and drinks drawn at random, computed with the truth; the loggers add an
offset (0.3 K), AR(1) noise (0.1 to 0.5 K, correlation 0.6 to 0.97 from reading to reading of 10 min) and
round to 0.1 K. The fit begins from other values. Printed are, for each sort of value, the share of tests
whose 95 % interval holds the truth, beside that of the naive interval, and the median of the error over
the interval's half width. The truth is our own model: what a model leaves out is not in these figures.
"""

from __future__ import annotations

import argparse
import concurrent.futures
import json
import pathlib
import subprocess
import sys
import tempfile

import numpy as np
from scipy.stats import beta

HERE = pathlib.Path(__file__).resolve().parent
sys.path.insert(0, str(HERE))

from make_example import smooth_noise  # noqa: E402

CASE = """\
title: synthetic test
box:
  inside: {{length: {length} cm, width: {width} cm, height: {height} cm}}
  wall:
    - {{material: hdpe, thickness: 2 mm}}
    - {{material: pu_foam, thickness: {wall} mm}}
    - {{material: hdpe, thickness: 2 mm}}
  gasket_leak: 0.02 W/K
materials:
  pu_foam:
    title: foam
    density: {{value: 35 kg/m3, source: drawn}}
    heat_capacity: {{value: 1400 J/kg/K, valid: [-40 degC, 70 degC], source: drawn}}
    conductivity: {{value: {k} W/m/K, valid: [-40 degC, 70 degC], source: drawn}}
coolant:
  - {{name: coolant, material: {material}, amount: {amount} kg, {form}, start: {cold} degC}}
payload:
  - name: cans
    contents: cola
    cans: {{count: {cans}, volume: 0.33 L, diameter: 66 mm, height: 115 mm}}
    start: {start} degC
surroundings:
  air: {{mean: {warm} degC, swing: {swing} K, warmest_at: 8 h}}
limits:
  - {{name: cold, probe: cans, not_above: 8 degC}}
run:
  duration: 48 h
  output_every: 10 min
  accuracy: 0.01 K
"""

TRIAL = """\
title: synthetic test
case: case.yaml
records:
  - file: log.csv
    channels:
      - {{channel: can, is: cans, offset_spread: 0.3 K}}
      - {{channel: inside, is: air, offset_spread: 0.3 K}}
fit:
  free:
    - {{of: materials.pu_foam.conductivity, name: foam, from: 0.012 W/m/K, to: 0.08 W/m/K}}
    - {{of: coolant.coolant.amount, name: amount, from: {least} kg, to: {most} kg{known}}}
    - {{of: payload.cans.start, name: start, from: -1 degC, to: 20 degC, known: {{mean: 7 degC, spread: 2 K}}}}
"""

FORMS = {"water_ice": "form: loose", "gel_pack": "form: pack, thickness: 25 mm, place: around_payload",
         "kno3_eutectic": "form: pack, thickness: 25 mm, place: around_payload"}


def draw(seed: int) -> tuple[dict, dict, str]:
    """What the case is told, what is true, and the trial."""
    rng = np.random.default_rng(seed)
    material = str(rng.choice(list(FORMS)))
    told = {
        "length": round(rng.uniform(30, 55)), "width": round(rng.uniform(24, 36)),
        "height": round(rng.uniform(24, 36)), "wall": round(rng.uniform(20, 60)),
        "k": 0.027, "material": material, "form": FORMS[material],
        "amount": round(rng.uniform(1.5, 4.0), 2), "cold": -1 if material == "water_ice" else -18,
        "cans": int(rng.integers(4, 14)), "start": 7.0, "warm": round(rng.uniform(18, 32), 1),
        "swing": round(rng.uniform(0, 6), 1),
    }
    true = dict(told)
    true["k"] = round(0.027 * np.exp(rng.normal(0, 0.25)), 5)
    true["start"] = round(7.0 + rng.normal(0, 2.0), 2)
    weighed = bool(rng.random() < 0.5)
    spread = 0.03 * told["amount"]
    true["amount"] = round(told["amount"] + rng.normal(0, spread if weighed else 4 * spread), 4)
    known = f", known: {{mean: {told['amount']} kg, spread: {spread:.4f} kg}}" if weighed else ""
    trial = TRIAL.format(least=0.5 * told["amount"], most=1.6 * told["amount"], known=known)
    return told, true, trial


def logged(program: str, folder: pathlib.Path, seed: int) -> bool:
    """Computes the truth and writes what the loggers say of it; False where the truth has no case."""
    from logged import probes

    told = probes(program, folder, "true.yaml")
    if told is None:
        return False
    rng = np.random.default_rng(seed + 1_000_000)
    time = told["time"]
    columns = []
    for probe in ("cans", "air"):
        noise = smooth_noise(rng, len(time), rng.uniform(0.1, 0.5), rng.uniform(0.6, 0.97))
        columns.append(told[probe] + rng.normal(0, 0.3) + noise)
    rows = "".join(f"{t / 60:.2f},{a:.1f},{b:.1f}\n" for t, a, b in zip(time, *columns))
    (folder / "log.csv").write_text("time [min],can [degC],inside [degC]\n" + rows)
    return True


def lay_out(folder: pathlib.Path, told: dict, true: dict, trial: str) -> None:
    """Writes the case as it is told, as it is true, and the trial."""
    (folder / "case.yaml").write_text(CASE.format(**told))
    (folder / "true.yaml").write_text(CASE.format(**true))
    (folder / "trial.yaml").write_text(trial)


def one(program: str, seed: int) -> dict | None:
    """One synthetic test: by value, whether the intervals hold the truth; None without a case."""
    told, true, trial = draw(seed)
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        lay_out(folder, told, true, trial)
        if not logged(program, folder, seed):
            return None
        answer = subprocess.run([program, "fit", "trial.yaml", "--json", "--jobs", "1"], cwd=folder,
                                capture_output=True, text=True, check=False)
        if answer.returncode:
            return {"seed": seed, "failed": answer.stderr.strip()}
        fit = json.loads(answer.stdout)
    out = {"seed": seed, "failed": "", "values": {}, "flags": fit["flags"],
           "follows": fit["follows"], "seconds": fit["wall_clock_s"]}
    truths = {"foam": true["k"], "amount": true["amount"], "start": true["start"]}
    for value in fit["values"]:
        if value["name"] not in truths:
            continue
        truth = truths[value["name"]]
        out["values"][value["name"]] = {
            "told": value["told"], "holds": bool(value["low"] <= truth <= value["high"]),
            "naive": bool(value["naive_low"] <= truth <= value["naive_high"]),
            "off": float((value["value"] - truth) / max((value["high"] - value["low"]) / 2, 1e-12)),
            "width": (value["high"] - value["low"]) / 2 / abs(value["value"])}
    return out


def exact_range(held: int, of: int) -> tuple[float, float]:
    """Shares that leave a count of `held` in `of` independent tests at least 2.5 % likely on either side."""
    low = beta.ppf(0.025, held, of - held + 1) if held else 0.0
    high = beta.ppf(0.975, held + 1, of - held) if held < of else 1.0
    return float(low), float(high)


def kept_before(file: pathlib.Path | None) -> dict[int, dict]:
    """Results by seed that a file of lines of JSON holds."""
    if file is None or not file.exists():
        return {}
    return {line["seed"]: line for line in map(json.loads, file.read_text().splitlines())}


def report(results: list[dict]) -> dict:
    """Shares by value, printed and returned."""
    good = [r for r in results if not r["failed"]]
    print(f"{len(good)} tests fitted, {len(results) - len(good)} failed")
    for r in results:
        if r["failed"]:
            print(f"  seed {r['seed']}: {r['failed'].splitlines()[0]}")
    out = {}
    for name in ("foam", "amount", "start"):
        told = [r["values"][name] for r in good if r["values"][name]["told"]]
        if not told:
            continue
        share = np.mean([v["holds"] for v in told])
        naive = np.mean([v["naive"] for v in told])
        off = np.median([v["off"] for v in told])
        width = np.median([v["width"] for v in told])
        out[name] = {"told": len(told), "coverage": share, "naive": naive, "bias": off}
        low, high = exact_range(sum(v["holds"] for v in told), len(told))
        print(f"  {name:8} told in {len(told):3}: holds {share:.3f} ({low:.3f} to {high:.3f}), naive {naive:.3f}, "
              f"median error {off:+.2f} half widths, median half width {100 * width:.1f} %")
    lid_or_probe = sum(bool([f for f in r["flags"] if "leaps" in f["what"]]) for r in good)
    other = sum(bool([f for f in r["flags"] if "leaps" not in f["what"]]) for r in good)
    print(f"  false alarms: lid or probe in {lid_or_probe}, clock or dead channel in {other}, "
          f"'does not follow' in {sum(not r['follows'] for r in good)}")
    return out


def main() -> None:
    """Run the study."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("program")
    parser.add_argument("--number", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--kept", type=pathlib.Path)
    options = parser.parse_args()
    program = str(pathlib.Path(options.program).resolve())
    results = kept_before(options.kept)
    seeds = range(options.seed, options.seed + options.number)
    with concurrent.futures.ThreadPoolExecutor(options.jobs) as pool:
        for result in pool.map(lambda s: one(program, s), [s for s in seeds if s not in results]):
            if result is None:
                continue
            results[result["seed"]] = result
            if options.kept is not None:
                with options.kept.open("a") as file:
                    file.write(json.dumps(result) + "\n")
    report([results[seed] for seed in seeds if seed in results])


if __name__ == "__main__":
    main()
