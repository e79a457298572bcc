"""The validation page's verdicts: which misses fail a round, and which line takes a value."""

import pathlib
import sys
import types

import pytest

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[2] / "validation"))
import words  # noqa: E402
from checks.support import Known, Line, Row, not_run  # noqa: E402


def check(**more):
    return types.SimpleNamespace(__name__="check", NAME="a check", **more)


def test_a_known_miss_may_stay_but_not_grow():
    module = check(KNOWN={"front": Known(0.01, "late by a constant time")})
    assert words.verdict(module, Row("front", 10.0, 10.05, "relative", 1e-3)) == "MISS, known"
    assert words.verdict(module, Row("front", 10.0, 10.2, "relative", 1e-3)) == "MISS"
    assert words.verdict(check(), Row("front", 10.0, 10.05, "relative", 1e-3)) == "MISS"


def test_a_value_that_no_line_takes_is_an_error():
    rows = [Row("flux", 1.0, 1.0, "relative", 1e-3)]
    assert words.lines_of(check(), rows)[0][1] == rows
    with pytest.raises(ValueError, match="flux"):
        words.lines_of(check(LINES=[Line("temperature", "^T")]), rows)


def test_a_missed_value_is_shown_before_one_near_its_bar():
    near, missed = Row("near", 1.0, 1.00099, "relative", 1e-3), Row("missed", 1.0, 1.3, "absolute", 0.29)
    assert words.nearest_to_its_bar([near, missed]) is missed


def test_values_that_are_not_numbers_miss_their_bar():
    row = Row("front", 1.0, float("nan"), "relative", 1e-3)
    assert words.verdict(check(KNOWN={"front": Known(1.0, "")}), row) == "MISS"


def test_what_was_not_run_is_not_passed():
    row = not_run("a library is missing")
    assert not row.passed
    assert words.verdict(check(KNOWN={row.what: Known(1.0, "")}), row) == "not run"
    assert words.nearest_to_its_bar([row]) is row
