"""What the pictures contain."""

from __future__ import annotations

import h5py
import numpy as np
import pytest
from matplotlib.figure import Figure

import comparison
import coolant
import depth
import heat_budget
import look
import synthetic
import temperatures
from columns import build_column, chosen_columns
from history import read_history
from marks import Label, label_rows
from pages import comparison_page, page


def drawn(picture, history):
    figure = Figure(figsize=look.SIZE, layout="constrained")
    picture.draw(history, figure)
    return figure


def line(axes, label):
    return next(found for found in axes.lines if found.get_label() == label)


def upright_marks(axes):
    """Hours of all vertical marks."""
    return sorted(found.get_xdata()[0] for found in axes.lines
                  if len(found.get_xdata()) == 2 and np.ptp(found.get_xdata()) == 0)


def words(figure):
    return [text.get_text() for text in figure.findobj(lambda a: hasattr(a, "get_text"))]


def test_conversions():
    assert look.celsius(273.15) == 0
    assert look.hours(5400.0) == 1.5
    assert look.hours_text(31.42 * 3600) == "31.4 h"
    assert look.hours_text(900) == "0.25 h"
    assert look.celsius_text(281.15) == "8 °C"
    assert look.celsius_text(272.65) == "\N{MINUS SIGN}0.5 °C"
    assert look.celsius_text(273.14) == "0 °C"
    assert heat_budget.energy_unit(999_999) == ("kJ", 1e3)
    assert heat_budget.energy_unit(1e6) == ("MJ", 1e6)


def test_temperatures_in_celsius_against_hours_with_limits(history_file):
    history = read_history(history_file)
    (axes,) = drawn(temperatures, history).axes
    drink = line(axes, "drink")
    np.testing.assert_allclose(drink.get_ydata(), synthetic.drink(history.time) - 273.15)
    assert drink.get_xdata()[-1] == 48
    assert line(axes, "limit food, not above 8 °C").get_ydata()[0] == pytest.approx(8)
    assert "°C" in axes.get_ylabel() and "(h)" in axes.get_xlabel()


def test_ends_are_marked_and_said(history_file):
    figure = drawn(temperatures, read_history(history_file))
    assert upright_marks(figure.axes[0]) == pytest.approx([2.0, 31.8, 33.6])
    said = words(figure)
    assert "food ends 33.6 h" in said
    assert "beer ends 31.8 h, held 29.8 h (12.0 to 40.0 h within 0.5 K)" in said
    assert "beer cold from 2.0 h" in said


def test_a_steep_curve_says_nothing_of_its_hold_time(history_file):
    steep, flat = read_history(history_file).limits
    assert temperatures.worth_text(steep) == ""
    assert temperatures.worth_text(flat) == " (12.0 to 40.0 h within 0.5 K)"


def test_what_ended_it_stands_at_the_foot(history_file):
    figure = page("temperatures", read_history(history_file))
    assert "food ended: 'ice' was spent 2 h before" in figure._supxlabel.get_text().split("\n")


def test_limits_without_an_end_say_so_only_for_whole_runs(altered, tmp_path):
    def never(file):
        file["/limits/end_time"][:] = -1
        file["/limits/hold_time"][:] = -1
        file["/limits/chill_time"][:] = [0, -1]

    figure = drawn(temperatures, read_history(altered(never)))
    labels = [label.replace("\n", " ") for label in
              figure.axes[0].get_legend_handles_labels()[1]]
    assert "limit food, not above 8 °C: held to the end, warmest 9 °C" in labels
    assert "limit beer, not above 5 °C: never that cold" in labels
    assert upright_marks(figure.axes[0]) == []

    part = synthetic.write_history(tmp_path / "cut.h5.part", completed=0, last_hour=5)
    labels = drawn(temperatures, read_history(part)).axes[0].get_legend_handles_labels()[1]
    assert "limit beer, not above 5 °C" in labels


def test_coolant_has_gaps_and_spent_marks(history_file):
    history = read_history(history_file)
    figure = drawn(coolant, history)
    (axes,) = figure.axes
    present = synthetic.gel_present(history.time)
    gel = np.asarray(line(axes, "gel").get_ydata(), dtype=float)
    assert np.isnan(gel[~present]).all() and (gel[present] >= 0).all()
    assert line(axes, "ice").get_ydata()[-1] == 100
    assert upright_marks(axes) == pytest.approx([9.0, 30.0])
    assert "ice spent 30.0 h" in words(figure)
    assert "cans freezing from 9.0 h" in words(figure)
    labels = axes.get_legend_handles_labels()[1]
    assert labels == ["ice", "gel", "cans (payload)"]


def test_shares_add_up_and_keep_their_signs(history_file):
    history = read_history(history_file)
    shares = heat_budget.shares(history)
    assert np.abs(shares).sum() == pytest.approx(100)
    assert shares[0] == pytest.approx(25)
    assert shares[-1] == pytest.approx(-100 * 0.3 / 3.6)


def test_shares_without_heat_are_zero(altered):
    def still(file):
        file["/budget/heat"][...] = 0

    history = read_history(altered(still))
    assert heat_budget.shares(history).tolist() == [0] * len(synthetic.FINAL_HEAT)
    drawn(heat_budget, history).draw_without_rendering()


def test_heat_stacks_gains_above_and_losses_below(history_file):
    figure = drawn(heat_budget, read_history(history_file))
    areas, bars = figure.axes
    extents = [c.get_paths()[0].get_extents() for c in areas.collections]
    assert max(e.y1 for e in extents) == pytest.approx(3.3)
    assert min(e.y0 for e in extents) == pytest.approx(-0.3)
    assert "MJ" in areas.get_ylabel()
    assert [b.get_width() for b in bars.patches] == pytest.approx(
        [25, 100 / 6, 100 / 3, 25 / 6, 12.5, -25 / 3])


def test_depth_cells_lie_where_the_grid_puts_them(history_file):
    history = read_history(history_file)
    assert chosen_columns(history.grid) == [0, 2]
    column = build_column(history, history.fields, 0)
    assert [layer.part for layer in column.layers] == [
        "coolant ice", "liner", "wall base", "outer shell"]
    np.testing.assert_allclose(column.layers[0].edges, np.arange(7) * 0.010)
    np.testing.assert_allclose(column.layers[-1].edges, [0.102, 0.105])
    gel = build_column(history, history.fields, 2).layers[0]
    present = synthetic.gel_present(history.time)
    np.testing.assert_array_equal(np.isnan(gel.temperature[:, 0]), ~present)


def test_a_space_between_cells_parts_the_layers(altered):
    def lift(file):
        depth_values = file["/grid/depth"][:]
        depth_values[3:13] += 0.020
        file["/grid/depth"][:] = depth_values

    history = read_history(altered(lift))
    layers = build_column(history, history.fields, 0).layers
    assert [layer.part for layer in layers][:2] == ["coolant ice", "coolant ice"]
    assert layers[0].edges[-1] == pytest.approx(0.030)
    assert layers[1].edges[0] == pytest.approx(0.050)


def test_first_wall_stands_in_for_missing_coolants(altered):
    def rename(file):
        names = [name.replace("coolant", "tray") for name in synthetic.PARTS]
        file["/grid/part_names"][:] = names

    assert chosen_columns(read_history(altered(rename)).grid) == [0]


def test_a_coolant_is_shown_with_the_wall_it_lies_on(altered):
    def rename(file):
        file["/grid/column_names"][:] = ["through ice", "base under ice", "through gel"]

    assert chosen_columns(read_history(altered(rename)).grid) == [0, 1, 2]


def test_depth_picture(history_file):
    figure = drawn(depth, read_history(history_file))
    top, bottom, bar = figure.axes
    assert top.get_ylim() == pytest.approx((105, 0))
    assert bottom.get_xlim() == (0, 48)
    assert {"coolant ice", "liner", "wall base", "outer shell"} <= set(words(figure))
    assert "°C" in bar.get_ylabel() and "(mm)" in figure._supylabel.get_text()
    assert "white line: half melted, grey: not in the box" in words(figure)


def test_half_melted_line_moves_inward_as_the_ice_melts(history_file):
    top = drawn(depth, read_history(history_file)).axes[0]
    front = next(c for c in top.collections if c.get_linewidth()[0] == 1.8)
    points = np.vstack([path.vertices for path in front.get_paths()])
    early = points[points[:, 0] < 8, 1].mean()
    late = points[points[:, 0] > 22, 1].mean()
    assert 0 <= late < 25 < 40 < early <= 60
    outermost_half_melted = 1 + 29 * 0.5 / 6
    assert points[:, 0].min() == pytest.approx(outermost_half_melted, abs=0.01)


def test_depth_shows_at_most_three_columns(altered):
    def many(file):
        cells = len(synthetic.CELLS)
        for name in ("/grid/column", "/grid/column_names", "/grid/part"):
            del file[name]
        file["/grid/column"] = np.minimum(np.arange(cells), 4)
        file["/grid/part"] = np.zeros(cells, int)
        file["/grid/column_names"] = ["a", "b", "c", "d", "e"]
        file["/grid/width"][:] = 0.01
        file["/grid/depth"][:] = 0.005 + 0.01 * np.maximum(np.arange(cells) - 4, 0)

    figure = drawn(depth, read_history(altered(many)))
    assert len(figure.axes) == 3 + 1
    assert "(3 of 5 columns)" in figure._suptitle.get_text()


def test_depth_says_when_there_are_no_fields(altered):
    def drop_fields(file):
        del file["fields"]

    figure = drawn(depth, read_history(altered(drop_fields)))
    assert any("kept no fields" in text for text in words(figure))


def test_overview_holds_all_four(history_file):
    said = words(page("overview", read_history(history_file)))
    for title in ("Temperatures", "Liquid part of coolant and payload", "Heat by path",
                  "Temperature through the box, by depth"):
        assert said.count(title) == 1
    assert sum("Picnic box in a warm room" in text.split("\n") for text in said) == 1


def test_unfinished_run_is_noticed_in_the_picture(tmp_path):
    part = synthetic.write_history(tmp_path / "cut.h5.part", completed=0, last_hour=5)
    foot = page("temperatures", read_history(part))._supxlabel.get_text()
    assert "this run was not completed: it stops at 5.0 h" in foot


def test_goods_always_too_cold_are_said_to_be_never_that_warm(altered):
    def freeze(file):
        file["/limits/side"][:] = ["not_above", "not_below"]
        for name in ("end_time", "hold_time", "chill_time", "worst"):
            file[f"/limits/{name}"][1] = -1

    labels = drawn(temperatures, read_history(altered(freeze))).axes[0]
    assert "limit beer, not below 5 °C: never that warm" in [
        text.replace("\n", " ") for text in labels.get_legend_handles_labels()[1]]


def test_comparison_draws_the_first_limit_of_each_run(history_file, tmp_path):
    other = synthetic.write_history(tmp_path / "garage.h5", warmer=1.0)
    with h5py.File(other, "r+") as file:
        file["/limits/end_time"][0] = 33 * 3600
    synthetic.sign(other, "history", 3)
    figure = comparison_page([read_history(history_file), read_history(other)])
    (axes,) = figure.axes
    one, two = line(axes, "picnic: drink"), line(axes, "garage: drink")
    np.testing.assert_allclose(two.get_ydata() - one.get_ydata(), 1.0)
    assert one.get_color() != two.get_color()
    assert not any("room" in label for label in axes.get_legend_handles_labels()[1])
    assert upright_marks(axes) == pytest.approx([33.0, 33.6])


def test_same_stems_are_told_apart_by_folder(history_file, tmp_path):
    (tmp_path / "second").mkdir()
    other = synthetic.write_history(tmp_path / "second" / "picnic.h5")
    names = comparison.short_names([read_history(history_file), read_history(other)])
    assert names == [f"{tmp_path.name}/picnic", "second/picnic"]


def test_mark_labels_never_overlap():
    labels = [Label(10, 5, True), Label(12, 5, True), Label(30, 8, False),
              Label(29, 8, False), Label(11, 5, True), Label(2, 3, True)]
    rows = label_rows(labels)
    for i, one in enumerate(labels):
        for k, other in enumerate(labels[:i]):
            if rows[i] == rows[k]:
                assert one.end <= other.start or other.end <= one.start
    assert rows == [2, 0, 1, 0, 1, 0]


def test_part_names_are_spread_within_the_axes():
    places = depth.spread([0.01, 0.02, 0.5, 0.98, 0.99], 0.1)
    assert min(np.diff(places)) >= 0.1 - 1e-12
    assert 0 <= places[0] and places[-1] <= 1
    assert places[2] == 0.5
    assert depth.spread([0.2, 0.8], 0.1) == [0.2, 0.8]


def test_text_in_pictures_is_at_least_ten_points(history_file):
    import matplotlib

    with matplotlib.rc_context(dict(look.STYLE)):
        figure = page("overview", read_history(history_file))
        figure.draw_without_rendering()
    sizes = [text.get_fontsize() for text in figure.findobj(lambda a: hasattr(a, "get_fontsize"))
             if hasattr(text, "get_text") and text.get_text()]
    assert len(sizes) > 40 and min(sizes) >= 10
