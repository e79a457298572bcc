#!/usr/bin/python3
"""Makes the invented records of cases/examples/trials from cases with other values than those told.

    validation/trials/make_example.py build/release/thawline

The truths: foam of the grey box 0.031 W/m/K, of the blue 0.036 W/m/K, cans between 5 and 8 degC at the
start. In 'gel in grey' the lid was open for 6 minutes after 9.5 h, in 'ice in blue' the probe of the
air fell into the melt water after 14 h.
"""

from __future__ import annotations

import datetime
import pathlib
import sys
import tempfile

import numpy as np
import yaml

from logged import probes

HERE = pathlib.Path(__file__).resolve().parent
TRIALS = HERE.parents[1] / "cases" / "examples" / "trials"
MINUTE = 60.0


def smooth_noise(rng, count: int, deviation: float, correlation: float) -> np.ndarray:
    """AR(1) noise with a standard deviation, in K, shape (count,)."""
    fresh = rng.normal(0.0, deviation * np.sqrt(1 - correlation**2), count)
    out = np.empty(count)
    out[0] = rng.normal(0.0, deviation)
    for i in range(1, count):
        out[i] = correlation * out[i - 1] + fresh[i]
    return out


def shed(rng, time: np.ndarray, clock: float) -> np.ndarray:
    """Air of a shed in degC at `time` (s); `clock` is the hour of the day at 0."""
    hour = clock + time / 3600
    return 21 + 5 * np.cos(2 * np.pi * (hour - 15) / 24) + smooth_noise(rng, len(time), 0.8, 0.97)


def computed(program: str, case: dict, air: str, folder: pathlib.Path) -> dict[str, np.ndarray]:
    """Probes of a run in degC by name, and the `time` in s."""
    case["surroundings"]["air"] = {"trace": air}
    case["run"].update({"output_every": "10 min", "accuracy": "0.01 K"})
    case["run"].pop("fields", None)  # YAML 1.1 reads off as false
    (folder / "truth.yaml").write_text(yaml.safe_dump(case, sort_keys=False))
    told = probes(program, folder, "truth.yaml")
    if told is None:
        sys.exit("the truth cannot be computed")
    return told


def put(case: dict, of: str, value) -> None:
    """Puts a value at a path such as box.wall.2.thickness."""
    *way, last = of.split(".")
    at = case
    for step in way:
        at = at[int(step) - 1] if step.isdigit() else \
            next(e for e in at if e["name"] == step) if isinstance(at, list) else at[step]
    if isinstance(at, list):
        index = int(last) - 1 if last.isdigit() else [e["name"] for e in at].index(last)
        at[index] = value
    else:
        at[last] = value


def main(program: str) -> None:
    """Write the four records."""
    program = str(pathlib.Path(program).resolve())
    trial = yaml.safe_load((TRIALS / "two-boxes.yaml").read_text())
    truths = {"ice in grey": 5.4, "gel in grey": 7.6, "ice in blue": 6.3, "plates in blue": 5.0}
    for number, record in enumerate(trial["records"]):
        rng = np.random.default_rng(40 + number)
        case = yaml.safe_load((TRIALS / trial["case"]).read_text())
        for setting in record.get("set", []):
            put(case, setting["of"], setting["value"])
        case["materials"]["grey_foam"]["conductivity"]["value"] = "0.031 W/m/K"
        case["materials"]["blue_foam"]["conductivity"]["value"] = "0.036 W/m/K"
        put(case, "payload.cans.start", f"{truths[record['name']]} degC")
        if record["name"] == "gel in grey":
            case["happenings"] = [{"at": "9.5 h", "open_lid": "6 min"}]
        packed = datetime.datetime.fromisoformat(str(record["packed_at"]))
        before = 60 * MINUTE  # the logger ran for an hour before
        time = np.arange(-before, 60 * 3600 + 1, 10 * MINUTE)
        air = shed(rng, time, packed.hour + packed.minute / 60)
        with tempfile.TemporaryDirectory() as name:
            folder = pathlib.Path(name)
            rows = "".join(f"{t / 3600:.6f},{v:.4f}\n" for t, v in zip(time, air) if t >= 0)
            (folder / "air.csv").write_text("time [h],air [degC]\n" + rows)
            told = computed(program, case, "air.csv", folder)
        can = np.interp(time, told["time"], told["cans"])
        inside = np.interp(time, told["time"], told["air"])
        can[time < 0] = truths[record["name"]]
        inside[time < 0] = air[time < 0]
        if record["name"] == "ice in blue":
            fell = time > 14 * 3600
            inside[fell] = np.interp(time[fell], told["time"], told["coolant"])
        can = can + 0.1 + smooth_noise(rng, len(time), 0.08, 0.8)
        inside = inside - 0.15 + smooth_noise(rng, len(time), 0.15, 0.8)
        rows = []
        for i, t in enumerate(time):
            stamp = packed + datetime.timedelta(seconds=float(t))
            lost = record["name"] == "ice in grey" and 100 < i < 103
            rows.append(f"{stamp:%Y-%m-%d %H:%M};{can[i]:.1f};{inside[i]:.1f};"
                        f"{'---' if lost else format(air[i], '.1f')}\n")
        text = "when;can [degC];inside [degC];shed [degC]\n" + "".join(rows)
        (TRIALS / record["file"]).write_text(text)
        print(record["file"], len(rows), "rows")


if __name__ == "__main__":
    main(*sys.argv[1:])
