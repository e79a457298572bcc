"""`thawline fit` as a user meets it."""

from __future__ import annotations

import json
from pathlib import Path

import h5py
import numpy as np
import pytest
from logged_runs import CASE, TRIAL, assert_trial_refused, probes_of, write_record
from test_program import BAD_INPUT, DONE, NOT_WRITTEN, assert_refused, call

TRUE_K = 0.031
OWN_FOAM = """\
materials:
  foam:
    title: foam of the box
    density: {value: 35 kg/m3, source: told}
    heat_capacity: {value: 1.4 kJ/kg/K, valid: [-40 degC, 70 degC], source: told}
    conductivity: {value: 0.024 W/m/K, valid: [-40 degC, 70 degC], source: told}
"""
TOLD = OWN_FOAM + CASE.replace("material: pu_foam", "material: foam")
TRUE = TOLD.replace("0.024 W/m/K", f"{TRUE_K} W/m/K").replace("amount: 500 g", "amount: 540 g")

FIT = TRIAL + """\
fit:
  starts: 2
  free:
    - {of: materials.foam.conductivity, name: foam, from: 0.01 W/m/K, to: 0.08 W/m/K}
    - {of: coolant.ice.amount, name: ice, from: 300 g, to: 900 g}
"""


@pytest.fixture(scope="module", name="told")
def told_once(tmp_path_factory) -> dict:
    return probes_of(tmp_path_factory.mktemp("truth"), TRUE)


def lay_out(folder: Path, told: dict, trial: str = FIT, changed=None, digits: int = 3) -> None:
    (folder / "case.yaml").write_text(TOLD)
    (folder / "trial.yaml").write_text(trial)
    write_record(folder, "first.csv", told, changed, digits)


def noise(seed: int):
    def add(time, can, inside):
        rng = np.random.default_rng(seed)
        can += rng.normal(0, 0.05, len(time))
        inside += rng.normal(0, 0.1, len(time))
    return add


def drifting(time, can, inside):
    """Errors that last for hours, as those of cheap loggers do."""
    rng = np.random.default_rng(6)
    for channel in (can, inside):
        error = 0.0
        for i in range(len(channel)):
            error = 0.98 * error + rng.normal(0, 0.1)
            channel[i] += error


def fitted(folder: Path) -> dict:
    answer = call("fit", "trial.yaml", "--json", folder=folder)
    assert answer.returncode == DONE, answer.stderr
    return json.loads(answer.stdout)


def test_foam_and_ice_are_found_again_without_noise(tmp_path: Path, told: dict) -> None:
    trial = FIT.replace("is: drinks}", "is: drinks, offset_spread: 0 K}").replace(
        "is: air}", "is: air, offset_spread: 0 K}")
    lay_out(tmp_path, told, trial)
    answer = fitted(tmp_path)
    foam, ice = answer["values"]
    assert foam["value"] == pytest.approx(TRUE_K, rel=2e-3)
    assert ice["value"] == pytest.approx(540, rel=2e-3)
    assert foam["told"] and ice["told"] and answer["follows"] and not answer["flags"]
    assert answer["derived"][0]["name"].startswith("UA")
    assert answer["derived"][1]["name"].startswith("frozen energy / UA")


def test_intervals_hold_the_truth_and_what_is_written_can_be_run(tmp_path: Path,
                                                                 told: dict) -> None:
    lay_out(tmp_path, told, changed=noise(4), digits=1)
    answer = fitted(tmp_path)
    foam = answer["values"][0]
    assert foam["low"] < TRUE_K < foam["high"]
    assert foam["high"] - foam["low"] < 0.2 * foam["value"]
    assert foam["naive_high"] - foam["naive_low"] < foam["high"] - foam["low"]
    assert sorted(p.name for p in tmp_path.iterdir()) == [
        "case.yaml", "first.csv", "trial-fit-case.yaml", "trial-fit.h5", "trial.yaml"]
    run = call("run", "trial-fit-case.yaml", "--json", folder=tmp_path)
    assert run.returncode == DONE, run.stderr
    limit = json.loads(run.stdout)["limits"][0]
    measured = answer["records"][0]["limits"][0]["measured"]
    assert abs(limit["hold_time_s"] - measured["hold_time_s"]) < 3 * measured["deviation_s"]


def test_a_plan_draws_from_the_joint_spread(tmp_path: Path, told: dict) -> None:
    lay_out(tmp_path, told, changed=noise(5), digits=1)
    answer = fitted(tmp_path)
    (tmp_path / "trip.yaml").write_text("title: elsewhere\ncase: case.yaml\ntolerances:\n"
                                        "  samples: 60\n  fitted: trial-fit.h5\n")
    batch = call("batch", "trip.yaml", "--quiet", folder=tmp_path)
    assert batch.returncode == DONE, batch.stderr
    with h5py.File(tmp_path / "trip.h5") as file:
        foam, ice = (np.asarray(file[f"inputs/{name}"]) for name in ("foam", "ice"))
    for drawn, value in zip((foam, ice), answer["values"]):
        assert np.median(drawn) == pytest.approx(value["value"], rel=0.02)
        half = (value["high"] - value["low"]) / 2
        assert 1.6 < half / np.std(drawn) < 2.4
    wanted = answer["correlation"][0][1]
    assert np.corrcoef(np.log(foam), np.log(ice))[0, 1] == pytest.approx(wanted, abs=0.2)

    overlay = call("overlay", "trial.yaml", "--quiet", folder=tmp_path)
    assert overlay.returncode == DONE
    plan = (tmp_path / "trip.yaml").read_text()
    for file, says in [("trial-overlay.h5", "is an overlay"), ("case.yaml", "no whole fit"),
                       ("none.h5", "there is no file")]:
        (tmp_path / "trip.yaml").write_text(plan.replace("trial-fit.h5", file))
        assert_refused(call("batch", "trip.yaml", folder=tmp_path), says)
    broken = bytearray((tmp_path / "trial-fit.h5").read_bytes())
    broken[len(broken) // 2] ^= 1
    (tmp_path / "trial-fit.h5").write_bytes(bytes(broken))
    (tmp_path / "trip.yaml").write_text(plan)
    assert_refused(call("batch", "trip.yaml", folder=tmp_path), "damaged")


def test_what_hangs_together_is_said(tmp_path: Path) -> None:
    """Foam and gasket leak both let heat in; a curve of the inside tells little of which it was."""
    leaky = TRUE.replace("540 g", "500 g").replace("coolant:\n", "  gasket_leak: 0.05 W/K\ncoolant:\n")
    told = probes_of(tmp_path, leaky)
    cut = "    leave_out: {from: 9 h, to: 40 h, why: taken down}\nfit:\n"
    lay_out(tmp_path, told, FIT.replace("fit:\n", cut).replace("coolant.ice.amount, name: ice, from: 300 g, to: 900 g",
                                        "box.gasket_leak, name: leak, from: 0.03 W/K, to: 0.1 W/K"),
            drifting, 1)
    answer = fitted(tmp_path)
    leak = answer["values"][1]
    assert not leak["told"]
    assert any("'leak' is not told" in sentence for sentence in answer["not_separated"])
    assert any("'foam' and 'leak': mostly their product" in s for s in answer["not_separated"])
    ua, foam = answer["derived"][0], answer["values"][0]
    assert (ua["high"] - ua["low"]) / ua["value"] < 0.6 * (foam["high"] - foam["low"]) / foam["value"]


def came_in(case: str, folder: Path, hour: float) -> float:
    """Heat that came in along all paths of a computed case by then, J."""
    probes_of(folder, case)
    with h5py.File(folder / "truth.h5") as file:
        row = int(np.argmin(np.abs(np.asarray(file["time"]) - 3600 * hour)))
        return float(np.sum(file["budget/heat"][row]))


def test_weighed_melt_water_and_known_heat_are_data(tmp_path: Path, told: dict) -> None:
    """Melt water and heat narrow what the first hours of a record tell of the foam."""
    trial = FIT.replace("fit:\n", "    leave_out: {from: 3 h, to: 40 h, why: taken down}\nWEIGHED"
                                  "fit:\n")
    lay_out(tmp_path, told, trial.replace("WEIGHED", ""), noise(7), 1)
    before = fitted(tmp_path)["values"][0]
    weighed = "    weighed: {of: ice, at: 8 h, melted: 250 g, spread: 2 g}\n"
    (tmp_path / "trial.yaml").write_text(trial.replace("WEIGHED", weighed))
    after = fitted(tmp_path)["values"][0]
    assert after["high"] - after["low"] < 0.7 * (before["high"] - before["low"])
    joules = came_in(TRUE, tmp_path, 8)
    (tmp_path / "trial.yaml").write_text(
        trial.replace("WEIGHED", f"    known_heat: {{until: 8 h, came_in: {joules:.6g} J, "
                                 "spread: 1 kJ}\n"))
    heat = fitted(tmp_path)["values"][0]
    assert heat["high"] - heat["low"] < 0.7 * (before["high"] - before["low"])
    assert heat["low"] < TRUE_K < heat["high"]


def opened(time, can, inside):
    noise(8)(time, can, inside)
    inside[60] += 5
    inside[61] += 2


def fallen(time, can, inside):
    noise(8)(time, can, inside)
    inside[60:] -= 4


def dead(time, can, inside):
    noise(8)(time, can, inside)
    can[50:] = can[50]


@pytest.mark.parametrize(("spoilt", "channel", "says"), [
    (opened, "inside", "as with a lid opened"), (fallen, "inside", "fell or was moved"),
    (dead, "can", "as a dead channel does")])
def test_what_stands_out_is_flagged(spoilt, channel: str, says: str, tmp_path: Path,
                                    told: dict) -> None:
    lay_out(tmp_path, told, changed=spoilt, digits=2)
    flags = fitted(tmp_path)["flags"]
    assert any(f["channel"] == channel and says in f["what"] for f in flags), flags


def test_a_late_clock_is_flagged_and_moved_only_when_allowed(tmp_path: Path) -> None:
    late = FIT.replace("packed_at: 30 min", "packed_at: 70 min")
    late = late[:late.index("    - {of: coolant")]
    told = probes_of(tmp_path, TRUE.replace("540 g", "500 g"))
    lay_out(tmp_path, told, late, noise(9), 2)
    flags = fitted(tmp_path)["flags"]
    assert any("its clock seems to be" in f["what"] for f in flags), flags
    (tmp_path / "trial.yaml").write_text(
        late.replace("packed_at: 70 min", "packed_at: 70 min\n    packed_within: 30 min"))
    answer = fitted(tmp_path)
    moved, = [v for v in answer["values"] if "clock" in v["name"]]
    assert moved["low"] < 2400 < moved["high"]
    assert not any("clock" in f["what"] for f in answer["flags"])


def test_a_model_that_does_not_follow_is_marked(tmp_path: Path, told: dict) -> None:
    def strange(time, can, inside):
        can += 3 * np.sin(time / 9000)

    lay_out(tmp_path, told, changed=strange)
    answer = call("fit", "trial.yaml", folder=tmp_path)
    assert answer.returncode == DONE, answer.stderr
    assert "does NOT follow the records" in answer.stdout


BROKEN = {
    "idle": ("coolant.ice.amount, name: ice, from: 300 g, to: 900 g",
             "run.output_every, name: ice, from: 5 min, to: 15 min",
             "changes nothing that the records hold", 14),
    "path": ("coolant.ice.amount", "coolant.ise.amount", "did you mean 'ice'?", 14),
    "bounds": ("to: 900 g", "to: 200 g", "must be higher than the one at 'from'", 14),
    "unit": ("to: 900 g", "to: 900 m", "does not match the unit", 14),
    "no number": ("coolant.ice.amount", "coolant.ice.material", "holds no single number", 14),
    "known": ("to: 900 g", "to: 900 g, known: {mean: 500 g, spread: 0 g}", "more than 0", 14),
    "twice": ("coolant.ice.amount", "materials.foam.conductivity", "stands in this plan already",
              14),
    "starts": ("starts: 2", "starts: 0", "is out of range", 11),
}


@pytest.mark.parametrize("mistake", BROKEN)
def test_broken_fits_are_refused(mistake: str, tmp_path: Path, told: dict) -> None:
    old, new, says, line = BROKEN[mistake]
    assert FIT.count(old) == 1
    lay_out(tmp_path, told, FIT.replace(old, new))
    assert_trial_refused("fit", tmp_path, says, line)


def test_more_values_than_the_record_carries_are_refused(tmp_path: Path, told: dict) -> None:
    more = "".join(f"    - {{of: {of}, from: {low}, to: {high}}}\n" for of, low, high in [
        ("box.gasket_leak", "0.001 W/K", "0.1 W/K"), ("payload.drinks.start", "0 degC", "9 degC"),
        ("coolant.ice.start", "-20 degC", "-1 degC"), ("box.wall.2.thickness", "15 mm", "25 mm"),
        ("surroundings.wind", "0 m/s", "5 m/s")])
    lay_out(tmp_path, told, FIT + more)
    answer = call("fit", "trial.yaml", folder=tmp_path)
    assert_refused(answer, "7 values are free and nothing is known of them")


def test_bounds_that_exclude_every_case_are_told(tmp_path: Path, told: dict) -> None:
    lay_out(tmp_path, told, FIT.replace("from: 300 g, to: 900 g", "from: 30 kg, to: 40 kg"))
    before = sorted(tmp_path.iterdir())
    answer = call("fit", "trial.yaml", folder=tmp_path)
    assert answer.returncode == 3 and answer.stdout == ""
    assert "no case within the bounds could be computed" in answer.stderr
    assert len(answer.stderr.splitlines()) == 1
    assert sorted(tmp_path.iterdir()) == before


def test_foreign_files_are_left_alone(tmp_path: Path, told: dict) -> None:
    lay_out(tmp_path, told)
    (tmp_path / "trial-fit-case.yaml").write_text("mine")
    answer = call("fit", "trial.yaml", folder=tmp_path)
    assert answer.returncode == NOT_WRITTEN
    assert (tmp_path / "trial-fit-case.yaml").read_text() == "mine"
    assert not (tmp_path / "trial-fit.h5").exists()
    (tmp_path / "trial.yaml").write_text(TRIAL)
    answer = call("fit", "trial.yaml", "--out", "a.h5", folder=tmp_path)
    assert answer.returncode == BAD_INPUT and "has no 'fit'" in answer.stderr


TWO = FIT.replace("fit:\n  starts", """\
  - name: second
    file: second.csv
    packed_at: 30 min
    set: [{of: coolant.ice.material, value: gel_pack}]
    channels: [{channel: can, is: drinks}, {channel: inside, is: air}]
verdict: {between: [first, second], coolant: coolant.ice.material}
fit:
  starts""").replace(
    "    - {of: coolant.ice.amount, name: ice, from: 300 g, to: 900 g}\n",
    "    - {of: payload.drinks.start, name: start, each_record: on, from: 0 degC, to: 12 degC, "
    "known: {mean: 5 degC, spread: 2 K}}\n")


def test_a_verdict_tells_the_coolant_from_its_start(tmp_path: Path) -> None:
    """Same box, other coolant, warmer cans: the model takes the start out, the rest is the coolant's."""
    same = TRUE.replace("amount: 540 g", "amount: 500 g")
    first = probes_of(tmp_path, same)
    second = probes_of(tmp_path, same.replace("material: water_ice", "material: gel_pack")
                       .replace("start: 4 degC", "start: 8 degC"))
    swapped = probes_of(tmp_path, same.replace("start: 4 degC", "start: 8 degC"))
    lay_out(tmp_path, first, TWO, noise(1), 2)
    write_record(tmp_path, "second.csv", second, noise(2), 2)

    def hold(told: dict) -> float:
        past = told["drinks"] > 10
        return float(told["time"][np.flatnonzero(past)[0]])

    answer = fitted(tmp_path)
    verdict = answer["verdict"]
    assert verdict["reason"] == ""
    assert verdict["measured"]["value_s"] == pytest.approx(hold(second) - hold(first), abs=1200)
    assert verdict["explained"]["value_s"] == pytest.approx(hold(swapped) - hold(first), abs=1200)
    assert verdict["remaining"]["value_s"] == pytest.approx(
        verdict["measured"]["value_s"] - verdict["explained"]["value_s"])
    assert verdict["distinguishable"] == (abs(verdict["remaining"]["value_s"]) >
                                          verdict["remaining"]["half_width_s"])


def test_one_coolant_in_two_records_is_not_told_from_itself(tmp_path: Path) -> None:
    same = TRUE.replace("amount: 540 g", "amount: 500 g")
    first = probes_of(tmp_path, same)
    second = probes_of(tmp_path, same.replace("start: 4 degC", "start: 8 degC"))
    lay_out(tmp_path, first, TWO.replace("value: gel_pack", "value: water_ice"), noise(1), 2)
    write_record(tmp_path, "second.csv", second, noise(2), 2)
    assert fitted(tmp_path)["verdict"]["distinguishable"] is False
