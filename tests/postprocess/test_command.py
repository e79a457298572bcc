"""The command: files written, exit codes and sentences."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

import h5py
import pytest

import draw
import output
import synthetic
import synthetic_table
from conftest import POSTPROCESS

COMMAND = POSTPROCESS / "draw.py"
PNG = b"\x89PNG\r\n\x1a\nold"
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
    assert_refused(run(text), "is not a Thawline history of layout 3.")


def test_truncated_file(history_file):
    history_file.write_bytes(history_file.read_bytes()[:20_000])
    assert_refused(run(history_file), "is damaged or was changed")


def test_wrong_version_draws_nothing(history_file):
    synthetic.sign(history_file, "history", 4)
    assert_refused(run(history_file), "of layout 4, but this program reads layout 3.")
    with h5py.File(history_file.with_name("old.h5"), "w") as file:
        file.attrs["layout_version"] = 1
    assert_refused(run(history_file.with_name("old.h5")), "is not a Thawline history of layout 3.")
    assert names_in(history_file.parent) == {"picnic.h5", "old.h5"}


def foreign_pictures():
    def link(path):
        path.with_name("target").write_text("mine")
        path.symlink_to("target")

    return {"text": lambda path: path.write_text("mine"),
            "foreign picture": lambda path: path.write_bytes(PNG),
            "link": link, "pipe": os.mkfifo, "folder": Path.mkdir}


@pytest.mark.parametrize("make", foreign_pictures().values(), ids=foreign_pictures())
def test_nothing_but_a_picture_of_ours_is_written_over(make, history_file):
    make(history_file.with_name("picnic-heat.png"))
    before = {path: path.lstat() for path in history_file.parent.iterdir()}
    result = run(history_file)
    assert result.returncode == 4
    assert len(result.stderr.splitlines()) == 1 and "left alone" in result.stderr
    assert result.stdout == ""
    after = {path: path.lstat() for path in history_file.parent.iterdir()}
    assert {path: (s.st_ino, s.st_size, s.st_mtime_ns) for path, s in before.items()} == {
        path: (s.st_ino, s.st_size, s.st_mtime_ns) for path, s in after.items()}


def test_pictures_of_ours_are_written_over(history_file):
    for _ in range(2):
        result = run(history_file, "--only", "heat")
        assert result.returncode == 0, result.stderr


@pytest.mark.parametrize("words", [["--help"], ["picnic.h5", "--only", "heat"]])
@pytest.mark.parametrize("script", ["draw.py", "draw_table.py"])
def test_standard_output_that_takes_nothing(words, script, history_file):
    if script == "draw_table.py" and words != ["--help"]:
        history_file = synthetic_table.write_walls(history_file)
        words = ["picnic.h5"]
    for closed in (False, True):
        with open("/dev/full", "w", encoding="ascii") as full:
            result = subprocess.run(
                ["/usr/bin/python3", POSTPROCESS / script, *words], cwd=history_file.parent,
                check=False, stderr=subprocess.PIPE, text=True,
                **({"preexec_fn": lambda: os.close(1)} if closed else {"stdout": full}))
        assert result.returncode == 4
        assert result.stderr.startswith("Standard output cannot be written: ")
        assert len(result.stderr.splitlines()) == 1


def test_a_reader_that_went_away_is_no_matter(history_file):
    reading, writing = os.pipe()
    os.close(reading)
    result = subprocess.run(["/usr/bin/python3", COMMAND, history_file, "--only", "heat"],
                            check=False, stdout=writing, stderr=subprocess.PIPE, text=True)
    os.close(writing)
    assert result.returncode == 4 and result.stderr == ""


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
    (out / "picnic-heat.png").write_bytes(PNG + output.SIGNS[".png"])

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(output.os, "replace", full)
    arguments = [str(history_file), "--out", str(out), "--format", "png", "--only", "heat"]
    assert draw.main(arguments) == 4
    assert "No space left on device" in capsys.readouterr().err
    assert names_in(out) == {"picnic-heat.png"}
    assert (out / "picnic-heat.png").read_bytes().startswith(PNG)


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
