"""Reading histories back, and saying what is wrong with bad ones."""

from __future__ import annotations

import h5py
import numpy as np
import pytest

import synthetic
from datasets import HistoryError
from history import read_history


def test_reads_back_series_and_outcomes(history_file):
    history = read_history(history_file)
    assert history.title == "Picnic box in a warm room"
    assert history.completed and history.notice is None
    assert history.stem == "picnic"
    assert history.time[-1] == 48 * 3600
    assert [p.name for p in history.probes] == ["drink", "fish", "room"]
    np.testing.assert_allclose(history.probes[0].temperature, synthetic.drink(history.time))
    assert history.coolants[0].marked_at == synthetic.SPENT_AT
    assert history.coolants[1].marked_at is None
    assert history.payloads[0].marked_at == synthetic.FREEZING_AT
    assert history.limits[0].probes == ("drink", "fish")
    assert history.limits[0].end_time == synthetic.END_AT
    assert history.limits[1].chill_time == 2 * 3600
    assert {p.name: p.heat[-1] for p in history.heat_paths} == synthetic.FINAL_HEAT


def test_absence_becomes_a_gap(history_file):
    history = read_history(history_file)
    present = synthetic.gel_present(history.time)
    np.testing.assert_array_equal(np.isnan(history.coolants[1].liquid_fraction), ~present)
    walls = history.grid.part == synthetic.PARTS.index("wall base")
    assert np.isnan(history.fields.liquid_fraction[:, walls]).all()
    ice = history.grid.part == synthetic.PARTS.index("coolant ice")
    assert np.isfinite(history.fields.liquid_fraction[:, ice]).all()


def test_values_cannot_be_changed(history_file):
    history = read_history(history_file)
    for array in (history.time, history.probes[0].temperature,
                  history.coolants[0].liquid_fraction, history.fields.temperature):
        with pytest.raises(ValueError):
            array[0] = 1.0


def test_fields_may_be_off(altered):
    def drop_fields(file):
        del file["fields"]

    assert read_history(altered(drop_fields)).fields is None


def test_unfinished_file_is_cut_to_the_rows_that_have_come(tmp_path):
    path = synthetic.write_history(tmp_path / "picnic.h5.part", completed=0, last_hour=20)
    with h5py.File(path, "r+") as file:
        file["/time"][-1] = -1
        file["/budget/stored"][-1] = 0
    history = read_history(path)
    assert history.stem == "picnic"
    assert history.notice == "this run was not completed: it stops at 19.5 h"
    assert len(history.probes[0].temperature) == len(history.time) == 40
    assert history.limits[0].end_time is None
    assert history.coolants[0].marked_at is None


def test_a_flipped_bit_anywhere_is_told(history_file):
    whole = history_file.read_bytes()
    rng = np.random.default_rng(3)
    for place in rng.integers(512, len(whole), 200):
        damaged = bytearray(whole)
        damaged[place] ^= 1 << rng.integers(8)
        history_file.write_bytes(damaged)
        with pytest.raises(HistoryError, match="is damaged or was changed"):
            read_history(history_file)


def test_controls_in_names_become_spaces(altered):
    def poison(file):
        file.attrs["title"] = "a \x1b[31mred\x1b[0m box \u202e"
        del file["/limits/names"]
        file.create_dataset("/limits/names", data=["fo\x07od", "be\x9ber"],
                            dtype=h5py.string_dtype())

    history = read_history(altered(poison))
    assert history.title == "a  [31mred [0m box  "
    assert [limit.name for limit in history.limits] == ["fo od", "be er"]


def test_no_coolant_at_all(altered):
    def empty(file):
        instants = len(file["time"])
        del file["coolant"]
        file.create_dataset("/coolant/names", shape=(0,), dtype=h5py.string_dtype())
        file.create_dataset("/coolant/liquid_fraction", shape=(instants, 0))
        file["/coolant/mass"] = h5py.Empty("f8")
        file["/coolant/spent_at"] = h5py.Empty("f8")

    assert read_history(altered(empty)).coolants == ()


def _set(name, values):
    def edit(file):
        del file[name]
        file[name] = values

    return edit


BAD = {
    "missing": (lambda f: f.pop("/probes/temperature"),
                "lacks the dataset /probes/temperature"),
    "missing outcome": (lambda f: f.pop("/limits/end_time"),
                        "lacks the dataset /limits/end_time"),
    "group for dataset": (lambda f: (f.pop("time"), f.create_group("time")),
                          "lacks the dataset /time"),
    "units": (lambda f: f["/probes/temperature"].attrs.modify("units", "degC"),
              "gives /probes/temperature in degC where K is expected"),
    "shape": (_set("/probes/temperature", np.ones((97, 2))),
              "has /probes/temperature with shape (2,) after its first axis where (3,)"),
    "short": (_set("/budget/stored", np.ones(5)),
              "has /budget/stored with shape (5,) where (97,) is expected"),
    "backwards": (_set("/time", np.arange(97)[::-1]), "has instants in /time that do not increase"),
    "no instants": (_set("/time", np.empty(0)), "holds no instants yet"),
    "indices": (_set("/grid/part", np.full(len(synthetic.CELLS), 99)),
                "has indices in /grid/part that name nothing"),
    "thickness": (_set("/grid/width", np.zeros(len(synthetic.CELLS))),
                  "has cells without thickness in a column"),
    "text for numbers": (_set("/budget/stored", [b"warm"] * 97),
                         "cannot be read as a history"),
}


@pytest.mark.parametrize("edit, sentence", BAD.values(), ids=BAD.keys())
def test_bad_content_is_named_in_one_sentence(altered, edit, sentence):
    path = altered(edit)
    with pytest.raises(HistoryError) as caught:
        read_history(path)
    message = str(caught.value)
    assert sentence in message and str(path) in message
    assert message.endswith(".") and "\n" not in message
