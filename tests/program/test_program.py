"""The program as a user meets it: exit codes, messages, files left behind.

The environment variable THAWLINE names the program.
"""

from __future__ import annotations

import json
import os
import resource
import subprocess
from pathlib import Path

import h5py
import pytest

SOURCE = Path(__file__).resolve().parents[2]
EXAMPLES = sorted((SOURCE / "cases" / "examples").glob("*.yaml"))
VERBS = ["run", "check", "batch", "find", "merge", "record", "overlay", "fit", "materials"]

DONE, BAD_INPUT, NOT_WRITTEN = 0, 2, 4
# s; tells a hang from a slow or busy machine, and nothing else depends on it.
HANGS = 1000

GOOD = """\
title: small box
box:
  inside: {length: 30 cm, width: 20 cm, height: 20 cm}
  wall:
    - {material: hdpe, thickness: 2 mm}
    - {material: pu_foam, thickness: 20 mm}
    - {material: hdpe, thickness: 2 mm}
coolant:
  - name: ice
    material: water_ice
    amount: 500 g
    form: pack
    thickness: 20 mm
    place: floor
    start: -10 degC
payload:
  - name: drinks
    contents: cola
    cans: {count: 4, volume: 0.33 L, diameter: 66 mm, height: 115 mm}
    start: 4 degC
    stands_on: free
surroundings:
  air: 30 degC
limits:
  - {name: drinks cold, probe: drinks, not_above: 10 degC}
run:
  detail: 1d
  duration: 30 h
"""

BROKEN = {
    "unknown key": ("  air: 30 degC", "  ari: 30 degC", "did you mean 'air'?"),
    "missing key": ("  duration: 30 h\n", "", "'duration' is missing"),
    "bare number": ("thickness: 20 mm}", "thickness: 20}", "has no unit"),
    "wrong dimension": ("air: 30 degC", "air: 30 kg", "is not a temperature"),
    "not a number": ("air: 30 degC", "air: .nan", "is not a number with a unit"),
    "negative": ("amount: 500 g", "amount: -500 g", "is out of range"),
    "does not fit": ("count: 4", "count: 400", "the box holds"),
    "unknown material": ("contents: cola", "contents: cloa", "did you mean 'cola'?"),
    "unknown probe": ("probe: drinks", "probe: drink", "did you mean 'drinks'?"),
    "not yet": ("  air: 30 degC", "  air: 30 degC\n  sun: 800 W/m2", "not yet computed"),
    "too many cells": ("  detail: 1d\n", "  detail: 2d\n  section: {most_cells: 100}\n",
                       "most_cells is 100"),
    "duplicate key": ("run:\n", "title: again\nrun:\n", "stands twice"),
    "tab": ("  air: 30 degC", "\tair: 30 degC", "a tab indents this line"),
    "alias": ("title: small box", "title: &a box\nrun: *a", "aliases"),
    "not YAML": ("height: 20 cm}", "height: 20 cm", "is not valid YAML"),
    "no trace": ("air: 30 degC", "air: {trace: none.csv}", "there is no file"),
    "deep": ("title: small box", "title: " + "[" * 10000 + "]" * 10000, "nested deeper"),
}


def program() -> str:
    name = os.environ.get("THAWLINE")
    if not name:
        pytest.skip("THAWLINE does not name the program")
    return str(Path(name).resolve())


def call(*words: str, folder: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [program(), *words], cwd=folder, capture_output=True, text=True, timeout=HANGS, check=False
    )


def assert_left_alone(answer: subprocess.CompletedProcess[str], phrase: str) -> None:
    assert answer.returncode == NOT_WRITTEN, answer.stderr
    assert phrase in answer.stderr
    assert len(answer.stderr.splitlines()) == 1
    assert answer.stdout == ""


def write(folder: Path, text: str) -> Path:
    file = folder / "case.yaml"
    file.write_text(text)
    return file


def left_behind(folder: Path) -> list[str]:
    return sorted(p.name for p in folder.iterdir() if p.suffix in {".h5", ".part"})


def assert_refused(answer: subprocess.CompletedProcess[str], phrase: str) -> None:
    assert answer.returncode == BAD_INPUT, answer.stderr
    assert phrase in answer.stderr
    assert answer.stdout == ""
    for noise in ("terminate", "Traceback", "yaml-cpp", "what():", "core dumped"):
        assert noise not in answer.stderr


@pytest.mark.parametrize("verb", ["run", "check"])
@pytest.mark.parametrize("name", BROKEN)
def test_broken_case_is_refused(name: str, verb: str, tmp_path: Path) -> None:
    old, new, phrase = BROKEN[name]
    assert GOOD.count(old) == 1
    write(tmp_path, GOOD.replace(old, new))
    answer = call(verb, "case.yaml", folder=tmp_path)
    assert_refused(answer, phrase)
    assert answer.stderr.startswith("case.yaml:")
    assert len(answer.stderr.splitlines()) <= 3
    assert left_behind(tmp_path) == []


@pytest.mark.parametrize(
    ("make", "phrase"),
    [
        (lambda file: None, "there is no such file"),
        (lambda file: file.mkdir(), "is a folder"),
        (lambda file: file.write_bytes(b""), "is empty"),
        (lambda file: file.write_bytes(b"title: \x00\xff\xfe"), "is not plain text"),
        (lambda file: os.truncate(file, 100 << 20) if file.write_text(GOOD) else None, "at most"),
    ],
    ids=["missing", "folder", "empty", "binary", "100 MB"],
)
def test_unreadable_case_is_refused(make, phrase: str, tmp_path: Path) -> None:
    make(tmp_path / "case.yaml")
    assert_refused(call("run", "case.yaml", folder=tmp_path), phrase)
    assert left_behind(tmp_path) == []


def test_broken_trace_is_told_with_its_own_place(tmp_path: Path) -> None:
    (tmp_path / "air.csv").write_text("time [h], air [degC]\n0, 20\n1, 20,5\n")
    write(tmp_path, GOOD.replace("air: 30 degC", "air: {trace: air.csv}"))
    answer = call("run", "case.yaml", folder=tmp_path)
    assert_refused(answer, "a point, not a comma")
    assert answer.stderr.startswith("air.csv:3:1: ")


def test_missing_material_folder_is_refused(tmp_path: Path) -> None:
    write(tmp_path, GOOD)
    answer = call("run", "case.yaml", "--materials", "nowhere", folder=tmp_path)
    assert_refused(answer, "no material files")


def test_missing_output_folder(tmp_path: Path) -> None:
    write(tmp_path, GOOD)
    answer = call("run", "case.yaml", "--history", "nowhere/out.h5", folder=tmp_path)
    assert answer.returncode == NOT_WRITTEN
    assert "nowhere" in answer.stderr
    assert answer.stdout == ""
    assert "terminate" not in answer.stderr and "HDF5-DIAG" not in answer.stderr
    assert left_behind(tmp_path) == []


def test_good_run_leaves_a_whole_history(tmp_path: Path) -> None:
    write(tmp_path, GOOD)
    answer = call("run", "case.yaml", "--json", folder=tmp_path)
    assert answer.returncode == DONE, answer.stderr
    assert left_behind(tmp_path) == ["case.h5"]
    report = json.loads(answer.stdout)
    with h5py.File(tmp_path / "case.h5") as history:
        assert history.attrs["completed"] == 1
        assert list(history["coolant/names"].asstr()) == ["ice"]
        assert list(history["payload/names"].asstr()) == ["drinks"]
        assert list(history["limits/names"].asstr()) == ["drinks cold"]
        assert "drinks" in list(history["probes/names"].asstr())
        assert history["case/text"].asstr()[0] == GOOD
        hold_time = float(history["limits/hold_time"][0])
    assert hold_time > 0
    assert report["limits"][0]["hold_time_s"] == pytest.approx(hold_time, rel=1e-12)


def test_no_history_leaves_none(tmp_path: Path) -> None:
    write(tmp_path, GOOD)
    answer = call("run", "case.yaml", "--no-history", "--quiet", folder=tmp_path)
    assert answer.returncode == DONE
    assert answer.stdout == ""
    assert left_behind(tmp_path) == []


@pytest.mark.parametrize("words", [[], *[[verb] for verb in VERBS]])
def test_help_fits_a_screen(words: list[str], tmp_path: Path) -> None:
    answer = call(*words, "--help", folder=tmp_path)
    assert answer.returncode == DONE
    lines = answer.stdout.rstrip("\n").split("\n")
    assert len(lines) <= 24
    assert max(map(len, lines)) <= 100
    assert "Example" in answer.stdout


@pytest.mark.parametrize(
    "words",
    [[], ["frobnicate"], ["run"], ["run", "a.yaml", "b.yaml"], ["run", "case.yaml", "--nonsense"]],
)
def test_wrong_command_line(words: list[str], tmp_path: Path) -> None:
    answer = call(*words, folder=tmp_path)
    assert answer.returncode == BAD_INPUT
    assert answer.stdout == ""
    assert answer.stderr.strip()
    assert "terminate" not in answer.stderr


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda path: path.stem)
def test_example_fits_the_schema(example: Path) -> None:
    jsonschema = pytest.importorskip("jsonschema")
    yaml = pytest.importorskip("yaml")
    schema = json.loads((SOURCE / "cases" / "case.schema.json").read_text())
    jsonschema.Draft202012Validator.check_schema(schema)
    case = yaml.safe_load(example.read_text())
    errors = list(jsonschema.Draft202012Validator(schema).iter_errors(case))
    assert [f"{list(e.absolute_path)}: {e.message}" for e in errors] == []


@pytest.mark.parametrize(
    "name",
    ["unknown key", "missing key", "bare number", "wrong word"],
)
def test_schema_refuses_what_the_program_refuses(name: str) -> None:
    jsonschema = pytest.importorskip("jsonschema")
    yaml = pytest.importorskip("yaml")
    schema = json.loads((SOURCE / "cases" / "case.schema.json").read_text())
    old, new, _ = BROKEN.get(name, ("form: pack", "form: pak", ""))
    validator = jsonschema.Draft202012Validator(schema)
    assert validator.is_valid(yaml.safe_load(GOOD))
    assert not validator.is_valid(yaml.safe_load(GOOD.replace(old, new)))


@pytest.mark.parametrize("room", [0, 2000, 12000, 20000, 60000])
def test_full_disk_leaves_one_sentence_and_no_file(room: int, tmp_path: Path) -> None:
    def little_room() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (room, room))

    case = SOURCE / "cases" / "examples" / "thin-box.yaml"
    answer = subprocess.run([program(), "run", str(case), "--history", "x.h5"], cwd=tmp_path,
                            capture_output=True, text=True, timeout=HANGS, check=False,
                            preexec_fn=little_room)
    assert answer.returncode == 4, answer.stdout + answer.stderr
    assert len(answer.stderr.splitlines()) == 1
    assert answer.stderr.startswith("x.h5: cannot be written")
    assert not list(tmp_path.iterdir())


def test_units_without_their_database(tmp_path: Path) -> None:
    write(tmp_path, GOOD)
    answer = subprocess.run([program(), "run", "case.yaml"], cwd=tmp_path, capture_output=True,
                            text=True, timeout=HANGS, check=False,
                            env={**os.environ, "UDUNITS2_XML_PATH": "/nowhere/units.xml"})
    assert_refused(answer, "libudunits2-data")
    assert answer.stderr.startswith("/nowhere/units.xml: ")
    assert len(answer.stderr.splitlines()) == 1
