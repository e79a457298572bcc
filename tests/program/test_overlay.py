"""`thawline overlay` as a user meets it."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
import yaml
from logged_runs import CASE, TRIAL, assert_trial_refused, probes_of, write_record
from test_program import BAD_INPUT, DONE, NOT_WRITTEN, SOURCE, assert_refused, call

TRIALS = SOURCE / "cases" / "examples" / "trials"


@pytest.fixture(scope="module", name="told")
def told_once(tmp_path_factory) -> dict:
    return probes_of(tmp_path_factory.mktemp("truth"), CASE)


def lay_out(folder: Path, told: dict, trial: str = TRIAL, changed=None) -> None:
    (folder / "case.yaml").write_text(CASE)
    (folder / "trial.yaml").write_text(trial)
    write_record(folder, "first.csv", told, changed)


def test_a_record_of_the_run_itself_lies_on_its_curves(tmp_path: Path, told: dict) -> None:
    lay_out(tmp_path, told)
    answer = call("overlay", "trial.yaml", "--json", folder=tmp_path)
    assert answer.returncode == DONE, answer.stderr
    record, = json.loads(answer.stdout)["records"]
    for channel in record["channels"]:
        assert channel["used"] == 181
        assert channel["rms_K"] < 0.005
    limit, = record["limits"]
    assert abs(limit["measured"]["hold_time_s"] - limit["computed"]["hold_time_s"]) < 120


def test_differences_have_the_sign_and_size_of_what_was_added(tmp_path: Path, told: dict) -> None:
    def warmer(time, can, inside):
        can += 0.5
        inside[time == 36000] -= 3

    lay_out(tmp_path, told, changed=warmer)
    answer = call("overlay", "trial.yaml", "--json", folder=tmp_path)
    can, inside = json.loads(answer.stdout)["records"][0]["channels"]
    assert can["mean_K"] == pytest.approx(0.5, abs=0.005)
    assert inside["largest_K"] == pytest.approx(-3, abs=0.01)
    assert inside["largest_at_s"] == 36000


def test_a_known_offset_is_taken_off(tmp_path: Path, told: dict) -> None:
    def warmer(time, can, inside):
        can += 0.5

    trial = TRIAL.replace("is: drinks}", "is: drinks, offset: 0.5 K}")
    lay_out(tmp_path, told, trial, warmer)
    answer = call("overlay", "trial.yaml", "--json", folder=tmp_path)
    assert abs(json.loads(answer.stdout)["records"][0]["channels"][0]["mean_K"]) < 0.005


def test_the_measured_hold_time_carries_offset_noise_and_interval(tmp_path: Path,
                                                                  told: dict) -> None:
    """Where the can warms by s K/h, an offset of 0.2 K alone is worth 0.2/s hours."""
    lay_out(tmp_path, told)
    answer = call("overlay", "trial.yaml", "--json", folder=tmp_path)
    limit = json.loads(answer.stdout)["records"][0]["limits"][0]
    end = limit["measured"]["end_time_s"]
    slope = np.gradient(np.interp([end - 900, end + 900], told["time"], told["drinks"]), 1800)[0]
    wanted = np.hypot(0.2 / slope, 600 / np.sqrt(12))
    assert limit["measured"]["deviation_s"] == pytest.approx(wanted, rel=0.05)


def test_what_is_left_out_does_not_count(tmp_path: Path, told: dict) -> None:
    def opened(time, can, inside):
        inside[(time > 7000) & (time < 15000)] += 9

    left = TRIAL + "    leave_out: {from: 1.9 h, to: 4.2 h, why: lid open, channels: inside}\n"
    lay_out(tmp_path, told, left, opened)
    answer = call("overlay", "trial.yaml", folder=tmp_path)
    assert answer.returncode == DONE, answer.stderr
    assert "left out: 1.9 to 4.2 h of inside: lid open" in answer.stdout
    answer = call("overlay", "trial.yaml", "--json", folder=tmp_path)
    can, inside = json.loads(answer.stdout)["records"][0]["channels"]
    assert can["used"] == 181 and inside["used"] == 181 - 14
    assert inside["rms_K"] < 0.005


def test_the_logged_air_outside_drives_the_run(tmp_path: Path) -> None:
    warm = CASE.replace("air: 30 degC", "air: {mean: 27 degC, swing: 6 K, warmest_at: 5 h}")
    told = probes_of(tmp_path, warm)
    lay_out(tmp_path, told, TRIAL + "      - {channel: shed, is: surroundings}\n")
    time = np.arange(0, 30 * 3600 + 1, 600.0)
    air = 27 + 6 * np.cos(2 * np.pi * (time / 3600 - 5) / 24)
    lines = (tmp_path / "first.csv").read_text().splitlines()
    rows = [lines[0] + ",shed [degC]"] + [f"{row},{a:.3f}" for row, a in zip(lines[1:], air)]
    (tmp_path / "first.csv").write_text("\n".join(rows) + "\n")
    answer = call("overlay", "trial.yaml", "--json", folder=tmp_path)
    assert answer.returncode == DONE, answer.stderr
    for channel in json.loads(answer.stdout)["records"][0]["channels"]:
        assert channel["rms_K"] < 0.02

    rows[50] = rows[50].rsplit(",", 1)[0] + ",---"
    rows[51] = rows[51].rsplit(",", 1)[0] + ",---"
    (tmp_path / "first.csv").write_text("\n".join(rows) + "\n")
    answer = call("overlay", "trial.yaml", folder=tmp_path)
    assert_refused(answer, "missing for 30 min here; the trial may bridge them")
    assert "first.csv:51:" in answer.stderr
    bridged = (tmp_path / "trial.yaml").read_text().replace("    packed_at", "    bridge: 20 min\n    packed_at")
    (tmp_path / "trial.yaml").write_text(bridged)
    assert_refused(call("overlay", "trial.yaml", folder=tmp_path), "bridges no more than 20 min")
    (tmp_path / "trial.yaml").write_text(bridged.replace("20 min", "30 min"))
    answer = call("overlay", "trial.yaml", folder=tmp_path)
    assert answer.returncode == DONE, answer.stderr
    assert "1 gap is in the air outside ('shed') bridged" in answer.stdout


def test_packing_is_read_from_the_clock(tmp_path: Path, told: dict) -> None:
    lay_out(tmp_path, told, TRIAL.replace("packed_at: 30 min", "packed_at: 2026-03-02 14:40"))
    lines = (tmp_path / "first.csv").read_text().splitlines()
    rows = ["when" + lines[0][lines[0].index(","):]]
    for i, line in enumerate(lines[1:]):
        minutes = 14 * 60 + 40 + 10 * i
        day, minutes = 2 + minutes // 1440, minutes % 1440
        rows.append(f"2026-03-{day:02} {minutes // 60:02}:{minutes % 60:02}{line[line.index(','):]}")
    (tmp_path / "first.csv").write_text("\n".join(rows) + "\n")
    answer = call("overlay", "trial.yaml", "--json", folder=tmp_path)
    assert answer.returncode == DONE, answer.stderr
    assert all(c["rms_K"] < 0.005 for c in json.loads(answer.stdout)["records"][0]["channels"])


BROKEN = {
    "channel": ("channel: can,", "channel: cna,", "did you mean 'can'?", 8),
    "far channel": ("channel: can,", "channel: zebra,", "there are: can, inside", 8),
    "probe": ("is: drinks}", "is: drink}", "did you mean 'drinks'?", 8),
    "far probe": ("is: drinks}", "is: elephant}", "is no probe of the case", 8),
    "file": ("file: first.csv", "file: last.csv", "there is no file 'last.csv'", 5),
    "key": ("packed_at", "packedat", "did you mean 'packed_at'?", 6),
    "no overlap": ("packed_at: 30 min", "packed_at: 90 h", "they share no time", 5),
    "clock": ("packed_at: 30 min", "packed_at: 14:10", "is not a known unit", 6),
    "two channels": ("channel: inside", "channel: can", "stands here already", 9),
    "no probe": ("is: drinks}\n      - {channel: inside, is: air}", "is: room}",
                 "no channel is a probe", 8),
    "case": ("case: case.yaml", "case: box.yaml", "there is no file 'box.yaml'", 2),
    "offset": ("is: drinks}", "is: drinks, offset: 0.5}", "has no unit", 8),
    "set path": ("    packed_at", "    set:\n      - {of: coolant.ise.amount, value: 1 kg}\n    packed_at",
                 "did you mean 'ice'?", 7),
    "set value": ("    packed_at", "    set:\n      - {of: coolant.ice.amount, value: 1 m}\n    packed_at",
                  "is neither a mass nor a volume", 7),
    "left out": ("    packed_at", "    leave_out: {from: 5 h, to: 2 h, why: no}\n    packed_at",
                 "must be later than 'from'", 6),
    "no reason": ("    packed_at", "    leave_out: {from: 1 h, to: 2 h}\n    packed_at",
                  "'why' is missing", 6),
    "nothing left": ("    packed_at", "    leave_out: {from: 0 h, to: 60 h, why: no}\n    packed_at",
                     "no reading is left", 5),
    "weighed": ("    packed_at",
                "    weighed: {of: ise, at: 3 h, melted: 1 kg, spread: 1 g}\n    packed_at",
                "did you mean 'ice'?", 6),
    "twice": ("records:\n", "records:\n  - {name: first, file: first.csv, channels: "
              "[{channel: can, is: drinks}]}\n", "two records are called 'first'", 5),
}


@pytest.mark.parametrize("mistake", BROKEN)
def test_broken_trials_are_refused(mistake: str, tmp_path: Path, told: dict) -> None:
    old, new, says, line = BROKEN[mistake]
    assert TRIAL.count(old) == 1
    lay_out(tmp_path, told, TRIAL.replace(old, new))
    assert_trial_refused("overlay", tmp_path, says, line)


def test_foreign_files_are_left_alone(tmp_path: Path, told: dict) -> None:
    lay_out(tmp_path, told)
    answer = call("overlay", "trial.yaml", "--out", "case.yaml", folder=tmp_path)
    assert answer.returncode == NOT_WRITTEN and answer.stdout == ""
    assert (tmp_path / "case.yaml").read_text() == CASE
    assert call("overlay", "none.yaml", folder=tmp_path).returncode == BAD_INPUT


@pytest.mark.parametrize("trial", sorted(TRIALS.glob("two-boxes.yaml")), ids=lambda p: p.stem)
def test_example_trials_fit_the_schema(trial: Path) -> None:
    jsonschema = pytest.importorskip("jsonschema")
    schema = json.loads((SOURCE / "cases" / "trial.schema.json").read_text())
    jsonschema.Draft202012Validator.check_schema(schema)
    text = yaml.load(trial.read_text(), Loader=yaml.BaseLoader)
    assert not list(jsonschema.Draft202012Validator(schema).iter_errors(text))
