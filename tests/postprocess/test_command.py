"""The command: files written, exit codes and sentences."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

import pytest

import draw
import output
import synthetic
from conftest import POSTPROCESS

COMMAND = POSTPROCESS / "draw.py"
PICTURES = ("temperatures", "coolant", "heat", "depth", "overview")


def run(*arguments, python=("/usr/bin/python3",), **environment):
    return subprocess.run(
        [*python, COMMAND, *arguments], capture_output=True, text=True, check=False,
        env={**os.environ, **environment},
    )


def names_in(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


def assert_refused(result, sentence):
    assert result.returncode == 2
    assert sentence in result.stderr
    assert "Traceback" not in result.stderr and len(result.stderr.splitlines()) == 1


def test_draws_everything_beside_the_history(history_file):
    result = run(history_file)
    assert result.returncode == 0 and result.stderr == ""
    expected = {f"picnic-{name}.{kind}" for name in PICTURES for kind in ("png", "svg")}
    assert names_in(history_file.parent) == expected | {"picnic.h5"}
    for name in PICTURES:
        png = history_file.with_name(f"picnic-{name}.png").read_bytes()
        assert png.startswith(b"\x89PNG") and len(png) > 5000
        assert "</svg>" in history_file.with_name(f"picnic-{name}.svg").read_text()
    assert result.stdout.count("\n") == len(expected)


def test_only_format_and_out(history_file, tmp_path, capsys):
    out = tmp_path / "new" / "pictures"
    assert draw.main([str(history_file), "--out", str(out), "--format", "png",
                      "--only", "heat", "coolant"]) == 0
    assert names_in(out) == {"picnic-heat.png", "picnic-coolant.png"}
    assert str(out / "picnic-heat.png") in capsys.readouterr().out


def test_several_histories_are_compared(history_file, tmp_path):
    other = synthetic.write_history(tmp_path / "garage.h5")
    out = tmp_path / "out"
    arguments = [str(history_file), str(other), "--out", str(out), "--format", "png",
                 "--only", "temperatures", "comparison"]
    assert draw.main(arguments) == 0
    assert names_in(out) == {"picnic-temperatures.png", "garage-temperatures.png",
                             "picnic-comparison.png"}


def test_svg_is_the_same_each_time(history_file, tmp_path):
    for folder in ("one", "two"):
        draw.main([str(history_file), "--out", str(tmp_path / folder), "--format", "svg",
                   "--only", "temperatures"])
    one, two = (tmp_path / f / "picnic-temperatures.svg" for f in ("one", "two"))
    assert one.read_bytes() == two.read_bytes()


def test_unfinished_history_is_drawn_with_a_notice(tmp_path):
    part = synthetic.write_history(tmp_path / "picnic.h5.part", completed=0, last_hour=12)
    result = run(part, "--format", "png", "--only", "temperatures")
    assert result.returncode == 0
    assert "this run was not completed: it stops at 12.0 h" in result.stderr
    assert (tmp_path / "picnic-temperatures.png").exists()


def test_a_run_in_progress_can_be_drawn(tmp_path):
    import h5py

    part = synthetic.write_history(tmp_path / "picnic.h5.part", completed=0, last_hour=12)
    with h5py.File(part, "r+") as file:
        file.flush()
        result = run(part, "--format", "png", "--only", "temperatures")
    assert result.returncode == 0
    assert "it stops at 12.0 h" in result.stderr


def test_single_instant_and_dollars_in_names_can_be_drawn(tmp_path):
    import h5py

    part = synthetic.write_history(tmp_path / "picnic.h5.part", completed=0, last_hour=0)
    with h5py.File(part, "r+") as file:
        file.attrs["title"] = r"costs $\frac and 5$"
    result = run(part, "--format", "png")
    assert result.returncode == 0
    assert {f"picnic-{name}.png" for name in PICTURES} <= names_in(tmp_path)


def test_missing_file(tmp_path):
    assert_refused(run(tmp_path / "none.h5"), f"There is no file {tmp_path / 'none.h5'}.")


def test_folder_instead_of_file(tmp_path):
    assert_refused(run(tmp_path), "is a folder, not a history file.")


def test_not_hdf5(tmp_path):
    text = tmp_path / "text.h5"
    text.write_text("not a history")
    assert_refused(run(text), "is not an HDF5 file.")


def test_truncated_file(history_file):
    history_file.write_bytes(history_file.read_bytes()[:20_000])
    assert_refused(run(history_file), "cannot be opened")


def test_wrong_version_draws_nothing(altered):
    path = altered(lambda file: file.attrs.modify("layout_version", 2))
    assert_refused(run(path), "has layout version 2, but this program reads version 1.")
    assert names_in(path.parent) == {"picnic.h5"}


def test_one_bad_history_stops_all(history_file, tmp_path):
    assert_refused(run(history_file, tmp_path / "none.h5"), "There is no file")
    assert names_in(tmp_path) == {"picnic.h5"}


def test_same_names_in_one_folder(history_file, tmp_path):
    (tmp_path / "second").mkdir()
    other = synthetic.write_history(tmp_path / "second" / "picnic.h5")
    result = run(history_file, other, "--out", tmp_path / "out")
    assert_refused(result, "Two histories would both be drawn as")


@pytest.mark.parametrize("arguments", [(), ("a.h5", "--only", "walls"),
                                       ("a.h5", "--format", "pdf")])
def test_bad_arguments(arguments):
    result = run(*arguments)
    assert result.returncode == 2 and "error:" in result.stderr


def test_folder_that_cannot_be_made(history_file, tmp_path):
    (tmp_path / "taken").write_text("")
    result = run(history_file, "--out", tmp_path / "taken")
    assert result.returncode == 4
    assert "cannot be written" in result.stderr and "Traceback" not in result.stderr


def test_failed_writing_leaves_the_old_picture_and_nothing_else(
    history_file, tmp_path, monkeypatch, capsys
):
    out = tmp_path / "out"
    out.mkdir()
    (out / "picnic-heat.png").write_text("old")

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(output.os, "replace", full)
    arguments = [str(history_file), "--out", str(out), "--format", "png", "--only", "heat"]
    assert draw.main(arguments) == 4
    assert "No space left on device" in capsys.readouterr().err
    assert names_in(out) == {"picnic-heat.png"}
    assert (out / "picnic-heat.png").read_text() == "old"


def test_help_fits_a_screen_and_shows_an_example():
    result = run("--help", COLUMNS="80")
    lines = result.stdout.splitlines()
    assert result.returncode == 0
    assert len(lines) <= 30 and max(map(len, lines)) <= 80
    assert "postprocess/draw.py picnic.h5" in result.stdout


def test_python_without_libraries_starts_the_system_one(history_file):
    result = run(history_file, "--format", "png", "--only", "heat",
                 python=("/usr/bin/python3", "-S"))
    assert result.returncode == 0
    assert history_file.with_name("picnic-heat.png").exists()


def test_no_python_with_libraries(history_file):
    result = run(history_file, python=("/usr/bin/python3", "-S"), THAWLINE_DRAW_SWITCHED="1")
    assert_refused(result, "install the Debian packages python3-h5py and python3-matplotlib.")


def test_command_can_be_started_directly():
    assert COMMAND.read_text().startswith("#!/usr/bin/python3\n")
    assert os.access(COMMAND, os.X_OK)
