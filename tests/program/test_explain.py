"""The program's verb explain: a difference shared out among inputs."""

from __future__ import annotations

import json
from itertools import permutations
from pathlib import Path

import h5py
import pytest
from test_program import BAD_INPUT, DONE, call

NOT_SOLVED = 3

FIRST = """\
title: first
box:
  inside: {{length: 40 cm, width: 30 cm, height: 30 cm}}
  wall: [{{material: {wall}, thickness: {thick}}}]
coolant:
  - {{name: {name}, material: {material}, amount: {amount}, {shape}, start: {start}}}
payload:
  - {{name: drinks, contents: cola, cans: {{count: {cans}, volume: 0.33 L, diameter: 66 mm,
     height: 115 mm}}, start: {drinks}}}
surroundings: {{air: {air}}}
limits: [{{name: drinks cold, probe: drinks, not_above: 8 degC}}]
run: {{duration: {duration}, detail: 1d}}
"""

PACK = "form: pack, thickness: 30 mm, place: floor"
BASE = {"wall": "eps", "thick": "30 mm", "name": "gel", "material": "gel_pack", "amount": "2 kg",
        "shape": PACK, "start": "-10 degC", "cans": "12", "drinks": "5 degC", "air": "24 degC",
        "duration": "72 h"}

# Groups of inputs by the name the program gives them, and what the second case has.
PAIRS = {
    "start, box, weather": {
        "start": {"start": "-18 degC"}, "box": {"wall": "pu_foam", "thick": "40 mm"},
        "weather": {"air": "{mean: 27 degC, swing: 4 K, warmest_at: 5 h}"}},
    "loose ice for gel, warmer drinks": {
        "shape and place": {"shape": "form: loose"}, "material": {"material": "water_ice"},
        "amount": {"amount": "2.4 kg"}, "contents' start": {"drinks": "12 degC"}},
    "more and fewer": {
        "amount": {"amount": "1.5 kg"}, "contents' kind and amount": {"cans": "20"},
        "place": {"shape": PACK.replace("floor", "lid")}, "start": {"start": "-3 degC"}},
}


def case(*changes: dict[str, str]) -> str:
    values = dict(BASE)
    for change in changes:
        values.update(change)
    return FIRST.format(**values)


def explain(folder: Path, *words: str) -> dict:
    answer = call("explain", "first.yaml", "second.yaml", "--json", *words, folder=folder)
    assert answer.returncode == DONE, answer.stderr
    return json.loads(answer.stdout)


def held(folder: Path, text: str) -> float:
    """h, by a run of its own; long enough that it ends."""
    (folder / "alone.yaml").write_text(text)
    answer = call("run", "alone.yaml", "--json", "--no-history", folder=folder)
    assert answer.returncode == DONE, answer.stderr
    limit = json.loads(answer.stdout)["limits"][0]
    assert limit["end_time_s"] is not None
    return limit["held_s"] / 3600


@pytest.mark.parametrize("pair", PAIRS, ids=list(PAIRS))
def test_shares_are_those_of_all_orders_by_hand(pair: str, tmp_path: Path) -> None:
    groups = PAIRS[pair]
    (tmp_path / "first.yaml").write_text(case())
    (tmp_path / "second.yaml").write_text(case(*groups.values(), {"name": "other"}))
    told = explain(tmp_path)
    values: dict[frozenset, float] = {}

    def value(names: tuple[str, ...]) -> float:
        key = frozenset(names)
        if key not in values:
            values[key] = held(tmp_path, case(*(groups[name] for name in names)))
        return values[key]

    shares = dict.fromkeys(groups, 0.0)
    orders = list(permutations(groups))
    for order in orders:
        for i, name in enumerate(order):
            shares[name] += (value(order[: i + 1]) - value(order[:i])) / len(orders)
    assert {g["name"]: g["share"] for g in told["groups"]} == pytest.approx(shares, abs=1e-9)
    assert told["from"] == pytest.approx(value(()), rel=1e-12)
    assert told["to"] == pytest.approx(value(tuple(groups)), rel=1e-12)
    assert sum(g["share"] for g in told["groups"]) == pytest.approx(told["to"] - told["from"],
                                                                    abs=1e-12)
    assert told["exact"] and told["orders"] == len(orders) and told["orders_left_out"] == 0
    with h5py.File(tmp_path / "first-to-second.h5") as file:
        assert list(file["groups/name"].asstr()) == [g["name"] for g in told["groups"]]
        assert sum(file["groups/share"]) == pytest.approx(file["to"][0] - file["from"][0], abs=1e-12)


def test_orders_that_meet_a_case_that_does_not_fit_are_left_out(tmp_path: Path) -> None:
    # The thin pack of twice the mass does not fit on the floor until it is thicker.
    groups = {"amount": {"amount": "4 kg"}, "shape": {"shape": PACK.replace("30 mm", "60 mm")},
              "weather": {"air": "28 degC"}}
    (tmp_path / "first.yaml").write_text(case({"shape": PACK.replace("30 mm", "25 mm")}))
    (tmp_path / "second.yaml").write_text(case(*groups.values()))
    told = explain(tmp_path)
    assert told["orders"] == 3 and told["orders_left_out"] == 3
    assert all("lying flat this coolant takes" in reason for reason in told["not_computed"])
    assert sum(g["share"] for g in told["groups"]) == pytest.approx(told["to"] - told["from"],
                                                                    abs=1e-12)
    answer = call("explain", "first.yaml", "second.yaml", folder=tmp_path).stdout
    assert "2 of the cases between the two cannot be computed; the 3 orders that meet one are left" in (
        answer.replace("\n", " "))


def test_more_than_ten_groups_are_sampled_with_their_error(tmp_path: Path) -> None:
    second = case(*PAIRS["start, box, weather"].values(),
                  *PAIRS["more and fewer"].values(), {"material": "water_ice", "drinks": "6 degC"})
    second = second.replace("not_above: 8 degC", "not_above: 9 degC").replace(
        "name: drinks,", "name: drinks, liquid_mixing: 2,").replace(
        "start: -3 degC", "start: -3 degC, liquid_mixing: 2").replace(
        "thickness: 30 mm", "thickness: 33 mm")
    second += "happenings: [{at: 2 h, open_lid: 5 min}]\n"
    (tmp_path / "first.yaml").write_text(case())
    (tmp_path / "second.yaml").write_text(second)
    told = explain(tmp_path, "--orders", "20")
    assert len(told["groups"]) > 10 and not told["exact"]
    assert any(g["standard_error"] > 0 for g in told["groups"])
    assert sum(g["share"] for g in told["groups"]) == pytest.approx(told["to"] - told["from"],
                                                                    abs=1e-12)
    again = explain(tmp_path, "--orders", "20", "--jobs", "1")
    assert again["groups"] == told["groups"]


def test_cases_that_do_not_differ(tmp_path: Path) -> None:
    (tmp_path / "first.yaml").write_text(case())
    (tmp_path / "second.yaml").write_text(case().replace("title: first", "title: again"))
    assert explain(tmp_path)["groups"] == []
    answer = call("explain", "first.yaml", "second.yaml", folder=tmp_path)
    assert "do not differ in any input" in answer.stdout


def test_a_coolant_only_one_case_has_is_a_group_of_its_own(tmp_path: Path) -> None:
    more = "  - {name: lid pack, material: gel_pack, amount: 500 g, form: pack, thickness: 20 mm,\n" \
           "     place: lid, start: -10 degC}\npayload:"
    (tmp_path / "first.yaml").write_text(case())
    (tmp_path / "second.yaml").write_text(case({"start": "-18 degC"}).replace("payload:", more))
    told = explain(tmp_path)
    assert {g["name"] for g in told["groups"]} == {"'gel': start", "'lid pack' itself"}
    assert all(g["share"] > 0 for g in told["groups"])
    (tmp_path / "first.yaml").rename(tmp_path / "third.yaml")
    (tmp_path / "second.yaml").rename(tmp_path / "first.yaml")
    (tmp_path / "third.yaml").rename(tmp_path / "second.yaml")
    back = explain(tmp_path)
    assert {g["name"]: -g["share"] for g in back["groups"]} == pytest.approx(
        {g["name"]: g["share"] for g in told["groups"]}, abs=1e-9)


def test_all_cases_between_have_one_detail(tmp_path: Path) -> None:
    (tmp_path / "first.yaml").write_text(case().replace(", detail: 1d", ""))
    (tmp_path / "second.yaml").write_text(case({"start": "-18 degC"}).replace(", detail: 1d", ""))
    told = explain(tmp_path)
    assert told["detail"].startswith("Detail: 2d")
    assert [g["name"] for g in told["groups"]] == ["start"]
    alone = held(tmp_path, case().replace(", detail: 1d", ""))
    assert told["from"] == pytest.approx(alone, rel=1e-9)


def test_other_answers(tmp_path: Path) -> None:
    (tmp_path / "first.yaml").write_text(case())
    (tmp_path / "second.yaml").write_text(case({"start": "-18 degC", "air": "28 degC"}))
    for answer, unit in (("worst", "degC"), ("heat", "kJ")):
        told = explain(tmp_path, "--of", answer)
        assert told["unit"] == unit
        assert sum(g["share"] for g in told["groups"]) == pytest.approx(
            told["to"] - told["from"], abs=1e-9)


@pytest.mark.parametrize(("words", "said"), [
    (["first.yaml", "none.yaml"], "none.yaml"),
    (["first.yaml", "broken.yaml"], "broken.yaml:4:"),
    (["first.yaml", "second.yaml", "--limit", "drinks warm"], "did you mean 'drinks cold'?"),
    (["first.yaml", "second.yaml", "--of", "cost"], "cost"),
    (["first.yaml"], "SECOND"),
])
def test_mistakes(words: list[str], said: str, tmp_path: Path) -> None:
    (tmp_path / "first.yaml").write_text(case())
    (tmp_path / "second.yaml").write_text(case({"start": "-18 degC"}))
    (tmp_path / "broken.yaml").write_text(case({"thick": "30"}))
    answer = call("explain", *words, folder=tmp_path)
    assert answer.returncode == BAD_INPUT
    assert said in answer.stderr


def test_foreign_files_are_left_alone(tmp_path: Path) -> None:
    (tmp_path / "first.yaml").write_text(case())
    (tmp_path / "second.yaml").write_text(case({"start": "-18 degC"}))
    (tmp_path / "first-to-second.h5").write_text("mine")
    answer = call("explain", "first.yaml", "second.yaml", folder=tmp_path)
    assert answer.returncode == 4
    assert (tmp_path / "first-to-second.h5").read_text() == "mine"
