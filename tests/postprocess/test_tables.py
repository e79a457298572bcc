"""The pictures of tables of cases: what they contain, and the command."""

from __future__ import annotations

import subprocess
from pathlib import Path

import h5py
import numpy as np
import pytest
from matplotlib.figure import Figure

import contenders
import draw_table
import found
import held
import held_curve
import held_map
import look
import paired
import ranking
import spread
import synthetic_table as synthetic
from conftest import POSTPROCESS
from datasets import HistoryError
from grouping import axis_inputs, changing, groups
from pages import pictures_of, table_page
from synthetic import sign
from table import ENDED, FAILED, NEVER_WITHIN, OUTLASTED, read_table


def drawn(picture, table, wanted=()):
    figure = Figure(figsize=look.SIZE, layout="constrained")
    picture.draw(table, figure, list(wanted))
    return figure


def words(figure):
    return " ".join(text.get_text() for text in figure.findobj(lambda a: hasattr(a, "get_text")))


def marked(axes, mark):
    """Places of all marks of one shape, but those of the legend."""
    return [tuple(point) for line in axes.lines if line.get_marker() == mark
            for point in zip(line.get_xdata(), line.get_ydata())]


def test_curves_hold_the_hours_and_mark_what_is_none(tmp_path: Path) -> None:
    table = read_table(synthetic.write_walls(tmp_path / "walls.h5"))
    assert pictures_of(table) == ["input"]
    figure = drawn(held_curve, table)
    (axes,) = figure.axes
    white, hard = (next(line for line in axes.lines if line.get_label() == name)
                   for name in ("white", "hard"))
    assert white.get_xdata().tolist() == [30, 40, 50]
    assert white.get_ydata().tolist() == [11, 12, 13]
    assert hard.get_ydata().tolist() == [21, 22, 24]
    assert marked(axes, "^") == [(40, 24)]
    assert marked(axes, "x") == [(20, 0)]
    assert marked(axes, "d") == [(50, 0)]
    said = " ".join(words(figure).split())
    for label in ("still within at the end of the run", "never within the limit",
                  "failed: has no hold time", "wall (mm)", "Hold time (h)"):
        assert label in said


def test_map_holds_the_hours_and_marks_what_outlasts(tmp_path: Path) -> None:
    table = read_table(synthetic.write_grid(tmp_path / "grid.h5"))
    assert pictures_of(table) == ["input", "map"]
    figure = drawn(held_map, table)
    axes = figure.axes[0]
    expected = 40 - np.array([[10.0], [20], [30]]) + np.array([20.0, 30, 40, 50]) / 10
    np.testing.assert_allclose(axes.collections[0].get_array().reshape(3, 4), expected)
    assert marked(axes, "^") == [(50, 10)]
    turned = drawn(held_map, table, ["air", "wall"]).axes[0]
    np.testing.assert_allclose(turned.collections[0].get_array().reshape(4, 3), expected.T)
    assert turned.get_xlabel() == "air (°C)"


def test_coolants_are_bars_with_amounts_and_outcomes(tmp_path: Path) -> None:
    table = read_table(synthetic.write_coolants(tmp_path / "coolants.h5"))
    assert pictures_of(table) == ["coolants"]
    figure = drawn(contenders, table)
    (axes,) = figure.axes
    assert [bar.get_width() for bar in axes.patches] == [12, 48, 0]
    said = words(figure)
    for label in ("ice\n4 kg, 4.36 L", "12.0 h", "> 48.0 h, to the end of the run",
                  "failed: does not fit"):
        assert label in said


def test_quantiles_put_never_first_and_outlasted_last(tmp_path: Path) -> None:
    table = read_table(synthetic.write_samples(tmp_path / "samples.h5"))
    (limit,) = table.limits
    assert held.of_combination(table, limit, 0, 0.1) == (NEVER_WITHIN, 0)
    assert held.of_combination(table, limit, 0, 0.5) == (ENDED, 4)
    assert held.of_combination(table, limit, 0, 0.9) == (ENDED, 8)
    assert held.of_combination(table, limit, 0, 0.95) == (OUTLASTED, 9)
    assert pictures_of(table) == ["spread"]
    said = words(drawn(spread, table))
    assert "10 % outlast the run" in said and "P50  4.0 h" in said


def test_failed_samples_are_left_out_of_quantiles(tmp_path: Path) -> None:
    path = synthetic.write_samples(tmp_path / "samples.h5")
    with h5py.File(path, "r+") as file:
        file["limits/goods cold/outcome"][:9] = FAILED
    sign(path, "table", 4)
    table = read_table(path)
    assert held.of_combination(table, table.limits[0], 0, 0.5) == (NEVER_WITHIN, 0)
    with h5py.File(path, "r+") as file:
        file["limits/goods cold/outcome"][:] = FAILED
    sign(path, "table", 4)
    table = read_table(path)
    assert held.of_combination(table, table.limits[0], 0, 0.5)[0] == FAILED
    drawn(spread, table)


def test_ranking_puts_what_matters_most_on_top(tmp_path: Path) -> None:
    table = read_table(synthetic.write_ranking(tmp_path / "ranking.h5"))
    assert "ranking" in pictures_of(table)
    (axes,) = drawn(ranking, table).axes
    assert [label.get_text() for label in axes.get_yticklabels()] == ["wall", "air"]
    assert [bar.get_width() for bar in axes.patches] == pytest.approx([0.6, 0.2, 0.7, 0.3])
    ends = [segment[:, 0].tolist() for lines in axes.collections for segment in lines.get_segments()]
    assert ends == [[0.5, 0.7], [0.1, 0.3], [0.6, 0.8], [0.2, 0.4]]


def test_found_values_and_those_not_found(tmp_path: Path) -> None:
    table = read_table(synthetic.write_found(tmp_path / "found.h5"))
    assert pictures_of(table) == ["found"]
    (axes,) = drawn(found, table).axes
    np.testing.assert_array_equal(axes.lines[0].get_ydata(), [30, 45, np.nan])
    assert marked(axes, "x")[0] == (30, 0)
    assert axes.get_ylabel() == "wall (mm)"
    none = read_table(synthetic.write_found(tmp_path / "none.h5", endings=(2, 2, 4)))
    assert "No value was found" in words(drawn(found, none))


def test_inputs_that_step_together_are_one_axis(tmp_path: Path) -> None:
    writer = synthetic.TableWriter(tmp_path / "together.h5", 6)
    writer.add_input("point", np.tile([1.0, 2.0, 3.0], 2), "degC")
    writer.add_input("start", np.tile([-4.0, -3.0, -2.0], 2), "degC")
    writer.add_input("as written", np.repeat(["{a: 1, b: 2}", "{a: 2, b: 3}"], 3))
    writer.add_input("box", np.repeat(["thin", "thick"], 3))
    writer.add_limit("goods cold", [ENDED] * 6, np.arange(6.0))
    writer.close()
    table = read_table(tmp_path / "together.h5")
    assert [column.name for column in changing(table)] == ["point", "start", "as written", "box"]
    assert [column.name for column in axis_inputs(table, [])] == ["point"]
    assert [column.name for column in axis_inputs(table, ["start"])] == ["start"]
    assert [label for label, _ in groups(table, axis_inputs(table, []))] == ["thin", "thick"]


def test_command_draws_what_suits(tmp_path: Path) -> None:
    path = synthetic.write_grid(tmp_path / "grid.h5")
    answer = subprocess.run(["/usr/bin/python3", POSTPROCESS / "draw_table.py", path], check=False,
                            capture_output=True, text=True)
    assert answer.returncode == 0 and answer.stderr == ""
    assert {p.name for p in tmp_path.iterdir()} == {"grid.h5"} | {
        f"grid-{name}.{kind}" for name in ("input", "map") for kind in ("png", "svg")}


@pytest.mark.parametrize(("words", "sentence"), [
    (["--only", "ranking"], "has nothing for the picture 'ranking'; it has for: input, map."),
    (["--over", "walls"], "has no input 'walls'; it has: air, wall."),
])
def test_command_refuses_in_a_sentence(words, sentence, tmp_path: Path, capsys) -> None:
    path = synthetic.write_grid(tmp_path / "grid.h5")
    assert draw_table.main([str(path), *words]) == 2
    assert sentence in capsys.readouterr().err
    assert [p.name for p in tmp_path.iterdir()] == ["grid.h5"]


def test_other_files_are_refused(tmp_path: Path, history_file: Path) -> None:
    with pytest.raises(HistoryError, match="is not a Thawline table"):
        read_table(history_file)
    with pytest.raises(HistoryError, match="There is no file"):
        read_table(tmp_path / "nothing.h5")
    path = synthetic.write_grid(tmp_path / "grid.h5")
    with h5py.File(path, "r+") as file:
        file.attrs["parts"] = 3
    sign(path, "table", 4)
    with pytest.raises(HistoryError, match="merge the parts first"):
        read_table(path)
    with h5py.File(path, "r+") as file:
        file.attrs["parts"] = 1
        del file["limits/goods cold/outcome"]
    sign(path, "table", 4)
    with pytest.raises(HistoryError, match="is damaged"):
        read_table(path)


def test_a_flipped_bit_anywhere_is_told(tmp_path: Path) -> None:
    path = synthetic.write_grid(tmp_path / "grid.h5")
    whole = path.read_bytes()
    rng = np.random.default_rng(4)
    for place in rng.integers(512, len(whole), 200):
        damaged = bytearray(whole)
        damaged[place] ^= 1 << rng.integers(8)
        path.write_bytes(damaged)
        with pytest.raises(HistoryError, match="is damaged or was changed"):
            read_table(path)


def test_a_lower_limit_is_said_to_be_one(tmp_path: Path) -> None:
    writer = synthetic.TableWriter(tmp_path / "frost.h5", 10, samples=10)
    writer.add_input("air", np.linspace(-10, 0, 10), "degC", role="drawn")
    writer.add_limit("no frost", [ENDED] * 10, np.arange(10.0), side=1)
    writer.close()
    (axes,) = drawn(spread, read_table(tmp_path / "frost.h5")).axes
    assert "no frost (not below)" in (axes.get_title("left"), axes.get_title())


@pytest.mark.parametrize("write", [synthetic.write_walls, synthetic.write_grid,
                                   synthetic.write_coolants, synthetic.write_samples,
                                   synthetic.write_ranking, synthetic.write_found,
                                   synthetic.write_boxes, synthetic.write_words,
                                   synthetic.write_paired])
def test_every_picture_is_laid_out(write, tmp_path: Path, recwarn) -> None:
    table = read_table(write(tmp_path / "table.h5"))
    for name in pictures_of(table):
        table_page(name, table, []).savefig(tmp_path / f"{name}.png")
    assert [str(warning.message) for warning in recwarn] == []


def test_coolants_in_several_boxes_are_grouped_bars(tmp_path: Path) -> None:
    table = read_table(synthetic.write_boxes(tmp_path / "boxes.h5"))
    assert "coolants" in pictures_of(table)
    figure = drawn(contenders, table)
    (axes,) = figure.axes
    assert [bar.get_width() for bar in axes.patches] == [12, 10, 20, 0]
    places = [bar.get_y() + bar.get_height() / 2 for bar in axes.patches]
    assert places[2] - places[1] > places[1] - places[0]  # a gap between the boxes
    texts = {text.get_text(): text for text in axes.texts}
    assert {"white", "blue", "12.0 h", "10.0 h (7.0 to 14.0), 40 % still frozen, coldest "
            "\N{MINUS SIGN}2.0 °C", "never within, 70 % still frozen"} <= set(texts)
    assert texts["12.0 h"].get_fontweight() == "bold"
    assert texts["20.0 h"].get_fontweight() == "bold"
    assert texts["never within, 70 % still frozen"].get_fontweight() == "normal"


def test_cases_that_differ_in_words_have_a_picture(tmp_path: Path) -> None:
    table = read_table(synthetic.write_words(tmp_path / "words.h5"))
    assert pictures_of(table) == ["coolants"]
    (axes,) = drawn(contenders, table).axes
    assert [bar.get_width() for bar in axes.patches] == [12, 10]
    assert [text.get_text() for text in axes.get_yticklabels()] == ["white", "blue"]


def test_pairs_tell_how_often_one_outlasts_the_other(tmp_path: Path) -> None:
    table = read_table(synthetic.write_paired(tmp_path / "paired.h5"))
    assert "paired" in pictures_of(table)
    (axes,) = drawn(paired, table).axes
    said = words(axes.figure)
    assert "longer in 4 of 5" in said
    assert [text.get_text() for text in axes.get_yticklabels()] == ["gel\nless ice"]


def test_a_table_without_limits_says_that(tmp_path: Path) -> None:
    writer = synthetic.TableWriter(tmp_path / "none.h5", 2)
    writer.add_input("box", ["white", "blue"])
    writer.close()
    answer = subprocess.run(["/usr/bin/python3", POSTPROCESS / "draw_table.py", tmp_path / "none.h5"],
                            check=False, capture_output=True, text=True)
    assert answer.returncode == 2
    assert "its case has no limit" in answer.stderr
