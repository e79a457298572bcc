"""The detail of a case that names none: chosen by what lies in the box, the same for every verb."""

from __future__ import annotations

import json
from pathlib import Path

import h5py
import pytest
from test_program import DONE, GOOD, call

PACKED = GOOD.replace("  detail: 1d\n", "").replace("duration: 30 h", "duration: 6 h")
LOOSE = PACKED.replace("form: pack\n    thickness: 20 mm\n    place: floor", "form: loose")
# A band at the sides that reaches up to the pack under the lid.
CROWDED = PACKED.replace("payload:", """\
  - {name: lining, material: water_ice, amount: 2.6 kg, form: pack, thickness: 20 mm, place: sides,
     start: -10 degC}
  - {name: cover, material: water_ice, amount: 1 kg, form: pack, thickness: 20 mm, place: lid,
     start: -10 degC}
payload:""").replace("height: 20 cm", "height: 16 cm")

WHY = "'ice' lies on a wall"


def run_json(case: str, folder: Path) -> dict:
    (folder / "case.yaml").write_text(case)
    answer = call("run", "case.yaml", "--json", "--quiet", folder=folder)
    assert answer.returncode == DONE, answer.stderr
    return json.loads(answer.stdout)["numerics"]


@pytest.mark.parametrize(("case", "detail", "accuracy", "why"), [
    (PACKED, "2d", 0.2, WHY),
    (PACKED.replace("run:\n", "run:\n  accuracy: 0.3 K\n"), "2d", 0.3, WHY),
    (LOOSE, "2d", 0.2, "'ice' is loose and touches the walls"),
    (PACKED.replace("place: floor", "place: around_payload"), "1d", 0.05, "no coolant touches a wall"),
    (CROWDED, "1d", 0.05, "'lining' runs into 'cover' in a section"),
    (GOOD, "1d", 0.05, None),
    (GOOD.replace("detail: 1d", "detail: 2d"), "2d", 0.05, None),
], ids=["pack", "accuracy named", "loose", "around", "crowded", "1d named", "2d named"])
def test_the_detail_of_a_run(case: str, detail: str, accuracy: float, why: str | None,
                             tmp_path: Path) -> None:
    numerics = run_json(case, tmp_path)
    assert numerics["why_detail"] == why
    assert (numerics["detail"], numerics["accuracy_asked_K"]) == (detail, accuracy)
    with h5py.File(tmp_path / "case.h5") as history:
        resolved = json.loads(history["case/resolved"].asstr()[0])["run"]
    assert (resolved["detail"], resolved["accuracy_K"]) == (detail, accuracy)
    checked = call("check", "case.yaml", folder=tmp_path).stdout
    assert f"Detail: {detail}, accuracy {accuracy:g} K" in checked


def plan(folder: Path, case: str, plan: str, verb: str = "batch") -> str:
    (folder / "case.yaml").write_text(case)
    (folder / "plan.yaml").write_text("title: plan\ncase: case.yaml\n" + plan)
    answer = call(verb, "plan.yaml", "--afresh", folder=folder)
    assert answer.returncode == DONE, answer.stdout + answer.stderr
    return answer.stdout


PLACES = "vary:\n  - {of: coolant.ice.place, values: [free, floor]}\n"


def hold_times(folder: Path) -> list[float]:
    with h5py.File(folder / "plan.h5") as table:
        return list(table["limits/drinks cold/held"][:])


def test_cases_of_a_plan_share_a_detail(tmp_path: Path) -> None:
    said = plan(tmp_path, PACKED, PLACES)
    assert "Detail: 2d, accuracy 0.2 K (in all cases alike, as 'ice' lies on a wall)" in said
    together = hold_times(tmp_path)
    # What the section makes of the free pack is not what columns do.
    for detail, same in (("2d\n  accuracy: 0.2 K", True), ("1d", False)):
        plan(tmp_path, PACKED.replace("run:\n", f"run:\n  detail: {detail}\n"), PLACES)
        assert (hold_times(tmp_path) == together) == same


def test_a_case_that_has_no_section_keeps_the_others_from_it(tmp_path: Path) -> None:
    said = plan(tmp_path, PACKED, "vary:\n  - of: coolant\n    values:\n"
                + "".join(f"      - [{{name: ice, material: water_ice, amount: {kg}, form: pack, "
                          "thickness: 20 mm, place: floor, start: -10 degC}, {name: lining, "
                          "material: water_ice, amount: 500 g, form: pack, thickness: 20 mm, "
                          f"place: {place}, start: -10 degC}}]\n"
                          for kg, place in (("500 g", "floor"), ("1 kg", "lid"))))
    assert "Detail: 2d" in said
    tall = PACKED.replace("height: 20 cm", "height: 12 cm")
    said = plan(tmp_path, tall, "vary:\n  - of: coolant.ice\n    values:\n"
                "      - {name: ice, material: water_ice, amount: 500 g, form: pack, "
                "thickness: 20 mm, place: floor, start: -10 degC}\n"
                "      - {name: ice, material: water_ice, amount: 2.15 kg, form: pack, "
                "thickness: 20 mm, place: sides, start: -10 degC}\n")
    assert "Detail: 1d, accuracy 0.05 K (in all cases alike, as 'ice' reaches beyond the lid" in said


def test_a_case_that_names_its_detail_keeps_it_in_a_plan(tmp_path: Path) -> None:
    assert "Detail:" not in plan(tmp_path, GOOD, PLACES)
    assert "Detail:" not in plan(
        tmp_path, PACKED, "vary:\n  - {of: run.detail, values: [1d, 2d]}\n")


def test_what_is_sought_has_one_detail(tmp_path: Path) -> None:
    said = plan(tmp_path, PACKED, "find:\n  of: box.wall.2.thickness\n  from: 15 mm\n  to: 60 mm\n"
                "  hold: 5 h\n", "find")
    assert "Detail: 2d, accuracy 0.2 K" in said


def test_histories_of_a_plan_name_their_detail(tmp_path: Path) -> None:
    plan(tmp_path, PACKED, PLACES + "histories: keep\n")
    for file in (tmp_path / "plan-histories").glob("*.h5"):
        with h5py.File(file) as history:
            assert "detail: 2d" in history["case/text"].asstr()[0]
