"""Batches as a user meets them: tables, exit codes, cut-off runs, parts.

`pytest tests/program/test_batch.py --kills 20` kills a batch at 20 of its changes of the disk, drawn
at random.
"""

from __future__ import annotations

import csv
import json
import random
import resource
import subprocess
from functools import cache
from pathlib import Path

import h5py
import numpy as np
import pytest
from stopping import count_changes, kill, pause
from test_program import (
    BAD_INPUT,
    DONE,
    GOOD,
    HANGS,
    NOT_WRITTEN,
    SOURCE,
    assert_left_alone,
    assert_refused,
    call,
    program,
)

NOT_SOLVED = 3
PLANS = sorted((SOURCE / "cases" / "examples" / "plans").glob("*.yaml"))
FILL = 9.969209968386869e36

PLAN = """\
title: walls and airs
case: case.yaml
vary:
  - {of: box.wall.2.thickness, name: wall, values: [20 mm, 3 cm, 3 m]}
  - {of: box.wall.2.material, name: foam, values: [eps, pu_foam]}
tolerances:
  samples: 5
  seed: 3
  inputs:
    - {of: surroundings.air, name: air, normal: 2 K}
    - {of: box.wall.2.thickness, within: 1 mm}
"""
CASES = 3 * 2 * 5
CASE = GOOD.replace("duration: 30 h", "duration: 8 h")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "case.yaml").write_text(CASE)
    (tmp_path / "plan.yaml").write_text(PLAN)
    return tmp_path


def more_samples(folder: Path, count: int) -> None:
    (folder / "plan.yaml").write_text(PLAN.replace("samples: 5", f"samples: {count}"))


def batch(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return call("batch", "plan.yaml", *words, folder=folder)


def columns(table: h5py.File) -> dict[str, bytes]:
    found = {}
    for path in table["columns"].asstr():
        values = table[path][:]
        found[path] = repr(list(values)) if values.dtype == object else values.tobytes()
    return found


def same_tables(one: Path, other: Path) -> None:
    assert one.with_suffix(".csv").read_bytes() == other.with_suffix(".csv").read_bytes()
    with h5py.File(one) as a, h5py.File(other) as b:
        assert columns(a) == columns(b)


def leave_table(folder: Path, name: str, *words: str) -> Path:
    answer = batch(folder, "--table", name, "--quiet", *words)
    assert answer.returncode == DONE, answer.stderr
    assert answer.stdout == answer.stderr == ""
    return folder / name


def test_table_holds_every_case(folder: Path) -> None:
    answer = batch(folder, "--json")
    assert answer.returncode == DONE, answer.stderr
    summary = json.loads(answer.stdout)
    assert (summary["cases"], summary["failed"]) == (CASES, 10)
    assert sorted(p.name for p in folder.iterdir()) == [
        "case.yaml", "plan.csv", "plan.h5", "plan.yaml"]
    rows = list(csv.DictReader((folder / "plan.csv").open(newline="")))
    assert [int(row["case"]) for row in rows] == list(range(1, CASES + 1))
    assert [row["status"] for row in rows].count("done") == 20
    assert "nan" not in (folder / "plan.csv").read_text().lower()
    with h5py.File(folder / "plan.h5") as table:
        assert table.attrs["cases"] == CASES
        assert table["plan/text"].asstr()[0] == PLAN
        for path in table["columns"].asstr():
            data = table[path]
            assert len(data) == CASES
            assert data.attrs["units"] and data.attrs["long_name"]
            heading = path if data.attrs["units"] == "1" else f"{path} [{data.attrs['units']}]"
            for row, value in zip(rows, data[:]):
                agrees(row[heading], value, data)


def agrees(cell: str, value, data: h5py.Dataset) -> None:
    if isinstance(value, bytes):
        assert cell == value.decode()
    elif value == data.attrs["_FillValue"]:
        assert cell == ""
    elif "flag_meanings" in data.attrs:
        assert cell == data.attrs["flag_meanings"].split()[value]
    else:
        assert float(cell) == value


def test_row_says_what_a_single_run_says(folder: Path) -> None:
    (folder / "case.yaml").write_text(GOOD)
    leave_table(folder, "plan.h5")
    row = list(csv.DictReader((folder / "plan.csv").open(newline="")))[17]
    drawn = row["inputs/box.wall[2].thickness drawn [mm]"]
    text = GOOD.replace("thickness: 20 mm}", f"thickness: {drawn} mm}}")
    text = text.replace("material: pu_foam", f"material: {row['inputs/foam']}")
    (folder / "alone.yaml").write_text(
        text.replace("air: 30 degC", f"air: {row['inputs/air [degC]']} degC"))
    answer = call("run", "alone.yaml", "--json", "--no-history", folder=folder)
    report = json.loads(answer.stdout)
    hold = float(row["limits/drinks cold/hold_time [h]"])
    assert report["limits"][0]["hold_time_s"] == pytest.approx(3600 * hold, rel=1e-14)
    assert report["coolant"][0]["spent_at_s"] == pytest.approx(
        3600 * float(row["coolant/ice/spent_at [h]"]), rel=1e-14)
    for path, heat in report["heat_in_J"].items():
        assert heat == pytest.approx(1000 * float(row[f"heat/{path} [kJ]"]), rel=1e-14)
    assert report["numerics"]["steps"] == int(row["steps"])


def test_failed_case_is_a_row_with_its_reason(folder: Path) -> None:
    answer = batch(folder)
    assert answer.returncode == DONE
    assert "30 cases, 20 done, 10 failed" in answer.stdout
    rows = list(csv.DictReader((folder / "plan.csv").open(newline="")))
    failed = [row for row in rows if row["inputs/wall [mm]"] == "3000"]
    assert len(failed) == 10
    for row in failed:
        assert row["status"] == "failed"
        assert row["reason"].startswith("box.wall[2].thickness: ")
        assert "is out of range" in row["reason"]
        assert row["steps"] == row["limits/drinks cold/outcome"] == ""
    with h5py.File(folder / "plan.h5") as table:
        assert (table["limits/drinks cold/hold_time"][20:] == FILL).all()
        assert (table["steps"][20:] == -1).all()


def test_case_that_has_no_section_is_a_row_with_its_reason(folder: Path) -> None:
    (folder / "case.yaml").write_text(
        CASE.replace("  detail: 1d\n", "  detail: 2d\n  section: {fineness: 0.4}\n"))
    (folder / "plan.yaml").write_text(
        "title: sections\ncase: case.yaml\nvary:\n"
        "  - {of: run.section.most_cells, name: most, values: [4000, 100]}\n")
    answer = batch(folder)
    assert answer.returncode == DONE, answer.stderr
    rows = list(csv.DictReader((folder / "plan.csv").open(newline="")))
    assert [row["status"] for row in rows] == ["done", "failed"]
    assert "most_cells is 100" in rows[1]["reason"]


def test_all_cases_failed(folder: Path) -> None:
    (folder / "plan.yaml").write_text(PLAN.replace("[20 mm, 3 cm, 3 m]", "[2 m, 3 m]"))
    answer = batch(folder)
    assert answer.returncode == NOT_SOLVED
    assert (folder / "plan.csv").exists()


def test_threads_leave_the_same_bits(folder: Path) -> None:
    one = leave_table(folder, "one.h5", "--jobs", "1")
    for jobs in ("2", "5"):
        same_tables(one, leave_table(folder, f"jobs-{jobs}.h5", "--jobs", jobs))


def test_parts_merge_to_the_whole(folder: Path) -> None:
    whole = leave_table(folder, "whole.h5")
    for i in range(1, 5):
        assert batch(folder, "--part", f"{i}/4", "--quiet").returncode == DONE
    parts = [f"plan.part-{i}-of-4.h5" for i in (3, 1, 4, 2)]
    answer = call("merge", *parts, "--to", "merged.h5", folder=folder)
    assert answer.returncode == DONE, answer.stderr
    same_tables(whole, folder / "merged.h5")
    answer = call("merge", *parts[:3], "--to", "m.h5", folder=folder)
    assert_refused(answer, "part 2 of 4 is missing")
    assert_refused(call("merge", *parts, parts[0], "--to", "m.h5", folder=folder), "and so does")
    assert_left_alone(call("merge", *parts, "--to", "merged.h5", folder=folder), "is there already")
    assert_refused(call("merge", "case.yaml", "--to", "m.h5", folder=folder), "is no whole table")
    more_samples(folder, 6)
    assert batch(folder, "--part", "2/4", "--table", "other.h5", "--quiet").returncode == DONE
    answer = call("merge", parts[0], "other.h5", "--to", "m.h5", folder=folder)
    assert_refused(answer, "is a part of another plan")
    assert not (folder / "m.h5").exists()


def test_more_parts_than_cases(folder: Path) -> None:
    (folder / "plan.yaml").write_text(PLAN[: PLAN.index("tolerances")].replace(", 3 m", ""))
    whole = leave_table(folder, "whole.h5")
    for i in range(1, 8):
        assert batch(folder, "--part", f"{i}/7", "--quiet").returncode == DONE
    parts = [f"plan.part-{i}-of-7.h5" for i in range(1, 8)]
    assert call("merge", *parts, "--to", "merged.h5", folder=folder).returncode == DONE
    same_tables(whole, folder / "merged.h5")


@pytest.mark.parametrize("part", ["0/4", "5/4", "1", "1/0", "a/b", "1.5/2", "-1/2", "1/2/3", "1/1e300"])
def test_wrong_part(part: str, folder: Path) -> None:
    assert_refused(batch(folder, f"--part={part}"), "is no part")


def test_whole_table_is_not_computed_again(folder: Path) -> None:
    table = leave_table(folder, "plan.h5")
    before = table.stat().st_mtime_ns
    answer = batch(folder)
    assert answer.returncode == DONE
    assert "is there already" in answer.stdout
    assert table.stat().st_mtime_ns == before
    assert batch(folder, "--afresh", "--quiet").returncode == DONE
    assert table.stat().st_mtime_ns > before
    assert not (folder / "plan.h5.part").exists()


def test_table_of_another_plan_is_left_alone(folder: Path) -> None:
    table = leave_table(folder, "plan.h5")
    before = table.read_bytes()
    more_samples(folder, 6)
    assert_refused(batch(folder), "holds the table of other inputs (the plan")
    (folder / "plan.yaml").write_text(PLAN)
    (folder / "case.yaml").write_text(CASE + "# changed\n")
    assert_refused(batch(folder), "the base case")
    assert table.read_bytes() == before
    assert batch(folder, "--afresh", "--quiet").returncode == DONE
    assert table.read_bytes() != before


def test_files_that_are_no_table_are_left_alone(folder: Path) -> None:
    for name in ("plan.h5", "plan.h5.part", "plan.csv", "plan.h5.new", "plan.csv.new"):
        for words in ([], ["--afresh"]):
            (folder / name).write_text("mine, and longer than the first line of a journal")
            assert_left_alone(batch(folder, *words), f"{name}: is ")
            assert (folder / name).read_text().startswith("mine")
            assert {p.name for p in folder.iterdir()} == {"case.yaml", "plan.yaml", name}
        (folder / name).unlink()


BATCH = ["batch", "plan.yaml", "--quiet"]
JOURNAL = "plan.h5.part"


def test_second_run_at_once_is_refused(folder: Path) -> None:
    first = pause(BATCH, folder, JOURNAL, 8)
    answer = batch(folder)
    first.kill()
    first.communicate()
    assert_refused(answer, "another run of this plan is at work")


def test_changed_inputs_are_noticed_on_resuming(folder: Path) -> None:
    assert kill(BATCH, folder, JOURNAL, 8)
    journal = folder / JOURNAL
    before = journal.read_bytes()
    (folder / "case.yaml").write_text(CASE.replace("500 g", "501 g"))
    assert_refused(batch(folder), "the base case changed since")
    assert journal.read_bytes() == before
    more_samples(folder, 2)
    assert_refused(batch(folder), "the plan and the base case changed since")
    assert batch(folder, "--afresh", "--quiet").returncode == DONE
    assert not journal.exists()


def test_killed_at_any_change_of_the_disk_leaves_the_same_table(folder: Path, request) -> None:
    whole = leave_table(folder, "whole.h5", "--jobs", "2")
    two_jobs = [*BATCH, "--jobs", "2"]
    changes = count_changes(two_jobs, folder, "plan.")
    same_tables(whole, folder / "plan.h5")
    rng = random.Random(5)
    left = request.config.getoption("--kills")
    kept = 0

    def remove_table() -> None:
        for file in ("plan.h5", "plan.csv"):
            (folder / file).unlink()

    remove_table()
    while left > 0:
        if not kill(two_jobs, folder, "plan.", rng.randint(1, changes), torn=rng.random() < 0.3):
            same_tables(whole, folder / "plan.h5")  # most was done before
            remove_table()
            continue
        left -= 1
        if rng.random() < 0.5:
            continue  # kill it again on its way
        answer = batch(folder, "--json", "--jobs", "2")
        assert answer.returncode == DONE, answer.stderr
        summary = json.loads(answer.stdout)
        if not summary["whole_before"]:
            kept += summary["kept"]
            assert summary["kept"] + summary["computed"] == summary["cases"]
        same_tables(whole, folder / "plan.h5")
        remove_table()
    if request.config.getoption("--kills") >= 8:
        assert kept > 0
    for junk in folder.glob("plan.*.new"):
        junk.unlink()
    assert batch(folder, "--quiet").returncode == DONE
    same_tables(whole, folder / "plan.h5")


@pytest.mark.parametrize("damage", ["torn", "flipped", "header"])
def test_damaged_journal_loses_only_what_is_damaged(damage: str, folder: Path) -> None:
    whole = leave_table(folder, "whole.h5")
    assert kill([*BATCH, "--jobs", "1"], folder, JOURNAL, 12)
    journal = folder / JOURNAL
    content = bytearray(journal.read_bytes())
    if damage == "torn":
        content = content[:-7]
    elif damage == "flipped":
        content[-60] ^= 0x10
    else:
        content = content[:30]
    journal.write_bytes(content)
    summary = json.loads(batch(folder, "--json").stdout)
    assert (summary["kept"] == 0) == (damage == "header")
    same_tables(whole, folder / "plan.h5")


@pytest.mark.parametrize("room", [200, 3000, 15000, 45000])
def test_full_disk_loses_nothing(room: int, folder: Path) -> None:
    more_samples(folder, 20)
    whole = leave_table(folder, "whole.h5")

    def little_room() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (room, room))

    answer = subprocess.run([program(), "batch", "plan.yaml"], cwd=folder, capture_output=True,
                            text=True, timeout=HANGS, check=False, preexec_fn=little_room)
    assert answer.returncode == NOT_WRITTEN, answer.stdout + answer.stderr
    assert answer.stdout == ""
    assert len(answer.stderr.splitlines()) == 1
    assert answer.stderr.startswith("plan.")
    assert not (folder / "plan.h5").exists()
    assert not list(folder.glob("*.new"))
    summary = json.loads(batch(folder, "--json").stdout)
    assert summary["kept"] > 0 or room < 2000
    same_tables(whole, folder / "plan.h5")


def test_missing_folder_for_the_table(folder: Path) -> None:
    answer = batch(folder, "--table", "nowhere/table.h5")
    assert answer.returncode == NOT_WRITTEN
    assert "nowhere" in answer.stderr
    assert answer.stdout == ""


def test_table_cannot_be_named_as_its_csv(folder: Path) -> None:
    assert_refused(batch(folder, "--table", "plan.csv"), "is no name for the table")
    assert_refused(call("merge", "a.h5", "--to", "b.csv", folder=folder), "is no name for the table")


def test_histories_are_kept_where_asked_for(folder: Path) -> None:
    more_samples(folder, 1)
    (folder / "plan.yaml").open("a").write("histories: keep\n")
    answer = batch(folder, "--jobs", "2", "--quiet")
    assert answer.returncode == DONE, answer.stderr
    rows = list(csv.DictReader((folder / "plan.csv").open(newline="")))
    names = sorted(p.name for p in (folder / "plan-histories").iterdir())
    assert names == [row["history"] for row in rows if row["status"] == "done"]
    assert all(row["history"] == "" for row in rows if row["status"] == "failed")
    assert [name.split("-")[0] for name in names] == ["1", "2", "3", "4"]
    for row, name in zip((row for row in rows if row["history"]), names):
        with h5py.File(folder / "plan-histories" / name) as history:
            assert history.attrs["completed"] == 1
            hold = row["limits/drinks cold/hold_time [h]"]
            seconds = 3600 * float(hold) if hold else -1  # it outlasts the run
            assert history["limits/hold_time"][0] == pytest.approx(seconds, rel=1e-14)
            assert f"{row['inputs/air [degC]']} degC" in history["case/text"].asstr()[0]


def test_blank_where_a_case_lacks_a_coolant(folder: Path) -> None:
    pack = "{material: water_ice, amount: 500 g, form: pack, thickness: 20 mm, start: -10 degC"
    (folder / "case.yaml").write_text(
        GOOD[: GOOD.index("coolant:")] + f"coolant:\n  - {pack}, name: one}}\n  - {pack}, name: "
        "two, place: lid}\n" + GOOD[GOOD.index("payload:"):])
    (folder / "plan.yaml").write_text(
        "title: one or two\ncase: case.yaml\nvary:\n  - of: coolant\n    values:\n"
        f"      - [{pack}, name: one}}]\n"
        f"      - [{pack}, name: one}}, {pack}, name: b, place: lid}}]\n")
    assert batch(folder, "--quiet").returncode == DONE
    rows = list(csv.DictReader((folder / "plan.csv").open(newline="")))
    assert [row["coolant/two/spent_at [h]"] == "" for row in rows] == [True, False]


def test_trace_is_read_beside_the_case(folder: Path) -> None:
    (folder / "air.csv").write_text("time [h], air [degC]\n0, 20\n30, 30\n")
    (folder / "warm.csv").write_text("time [h], air [degC]\n0, 30\n30, 40\n")
    (folder / "case.yaml").write_text(CASE.replace("air: 30 degC", "air: {trace: air.csv}"))
    (folder / "plan.yaml").write_text(
        "title: traces\ncase: case.yaml\nvary:\n"
        "  - {of: surroundings.air.trace, name: trace, values: [air.csv, warm.csv]}\n")
    table = leave_table(folder, "plan.h5")
    with h5py.File(table) as read:
        heat = read["heat/sides"][:]
    assert heat[1] > heat[0]
    (folder / "warm.csv").write_text("time [h], air [degC]\n0, 31\n30, 40\n")
    assert_refused(batch(folder), "the traces differ")
    (folder / "warm.csv").write_text("time [h], air [degC]\n0, 31\n")
    assert batch(folder).stderr.startswith("warm.csv:2:1: ")


def test_no_progress_in_a_pipe(folder: Path) -> None:
    assert batch(folder).stderr == ""


@pytest.mark.parametrize("plan", PLANS, ids=lambda path: path.stem)
def test_example_plan_fits_the_schema(plan: Path) -> None:
    jsonschema = pytest.importorskip("jsonschema")
    yaml = pytest.importorskip("yaml")
    schema = json.loads((SOURCE / "cases" / "plan.schema.json").read_text())
    jsonschema.Draft202012Validator.check_schema(schema)
    errors = list(jsonschema.Draft202012Validator(schema).iter_errors(
        yaml.safe_load(plan.read_text())))
    assert [f"{list(e.absolute_path)}: {e.message}" for e in errors] == []


@pytest.fixture(scope="module")
def table_of(tmp_path_factory: pytest.TempPathFactory):
    folder = tmp_path_factory.mktemp("examples")

    @cache
    def table(plan: str) -> h5py.File:
        file = SOURCE / "cases" / "examples" / "plans" / f"{plan}.yaml"
        answer = call("batch", str(file), "--json", folder=folder)
        assert answer.returncode == DONE, answer.stderr
        assert json.loads(answer.stdout)["failed"] == 0
        return h5py.File(folder / f"{plan}.h5")

    return table


@pytest.mark.parametrize("plan", PLANS, ids=lambda path: path.stem)
def test_example_plan_runs(plan: Path, table_of) -> None:
    assert table_of(plan.stem).attrs["table_version"] == 4


def test_loose_ice_beats_slabs_where_drinks_are_warm(table_of) -> None:
    table = table_of("loose-ice-or-slabs")
    hold = np.where(table["limits/drinks cold/hold_time"][:] == FILL, 0,
                    table["limits/drinks cold/hold_time"][:]).reshape(3, 6, 3)
    loose, lid = hold[..., 0], hold[..., 2]
    assert (loose[:, 1:] > lid[:, 1:]).all()
    assert lid[0, 0] > loose[0, 0]


def test_thicker_and_better_foam_holds_longer(table_of) -> None:
    table = table_of("three-foams")
    hold = table["limits/fish cold throughout/hold_time"][:].reshape(3, 10)
    spent = table["coolant/gel under/spent_at"][:].reshape(3, 10)
    reached = np.where(hold == FILL, np.inf, hold)
    assert (np.diff(np.minimum(reached, 1e9), axis=1) >= 0).all()
    assert (reached[2] >= reached[1]).all() and (reached[1] >= reached[0]).all()
    assert np.isfinite(reached[0]).all()
    assert (np.diff(spent, axis=1) > 0).all()


def test_goods_hold_longest_on_a_coolant_melting_within_their_limits(table_of) -> None:
    table = table_of("melting-point")
    point = table["inputs/melting point"][:]
    warm = table["limits/not too warm/hold_time"][:]
    cold = table["limits/not too cold/outcome"][:]
    outlasted = 1
    assert (cold[point >= 2] == outlasted).all()
    assert (cold[point <= 0] != outlasted).all()
    between = (point >= 2) & (point <= 6)  # nearer to the limit it takes up too little heat
    assert warm[between].min() > 4 * warm[point >= 9].max()
    assert (np.diff(warm[between]) > 0).all()
