"""What the program writes, and what it leaves alone; what it says when it cannot write."""

from __future__ import annotations

import csv
import os
import resource
import signal
import struct
import subprocess
import xml.etree.ElementTree as ElementTree
import zlib
from pathlib import Path

import h5py
import numpy as np
import pytest
from test_program import (
    DONE,
    EXAMPLES,
    GOOD,
    NOT_WRITTEN,
    SOURCE,
    assert_left_alone,
    assert_refused,
    call,
    program,
    write,
)
from test_section import CASE as SECTION

PLAN = """\
title: two walls
case: case.yaml
vary:
  - {of: box.wall.2.thickness, name: wall, values: [20 mm, 3 m]}
"""


def all_of(folder: Path) -> dict[str, tuple]:
    """Everything in a folder, to be compared: names, kinds, inodes, times and bytes."""
    found = {}
    for path in sorted(folder.rglob("*")):
        status = path.lstat()
        content = path.read_bytes() if path.is_file() and not path.is_symlink() else b""
        found[str(path)] = (status.st_mode, status.st_ino, status.st_mtime_ns, content)
    return found


def make_foreign_hdf5(path: Path) -> None:
    with h5py.File(path, "w") as file:
        file["mine"] = np.arange(3)


def make_device(path: Path) -> None:
    try:
        os.mknod(path, 0o600 | 0o020000, os.makedev(1, 3))
    except PermissionError:
        pytest.skip("only root makes device nodes")


def make_link(path: Path) -> None:
    path.with_name("target").write_text("mine")
    path.symlink_to("target")


FOREIGN = {
    "text": lambda path: path.write_text("mine"),
    "HDF5": make_foreign_hdf5,
    "link": make_link,
    "dangling link": lambda path: path.symlink_to("nowhere"),
    "link to /dev/null": lambda path: path.symlink_to("/dev/null"),
    "pipe": os.mkfifo,
    "folder": Path.mkdir,
    "device": make_device,
}
NAMES = ["x.h5", "x.h5.new", "x.h5.part", "x.h5.part.new", "x.xdmf", "x.xdmf.new"]


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("kind", FOREIGN)
def test_a_run_writes_over_nothing_foreign(kind: str, name: str, tmp_path: Path) -> None:
    write(tmp_path, SECTION)
    FOREIGN[kind](tmp_path / name)
    before = all_of(tmp_path)
    answer = call("run", "case.yaml", "--history", "x.h5", folder=tmp_path)
    assert_left_alone(answer, f"{name}: is ")
    assert all_of(tmp_path) == before


def test_a_run_does_not_write_over_its_case_or_a_table(tmp_path: Path) -> None:
    write(tmp_path, GOOD)
    (tmp_path / "plan.yaml").write_text(PLAN)
    assert call("batch", "plan.yaml", "--quiet", folder=tmp_path).returncode == DONE
    before = all_of(tmp_path)
    for name in ("case.yaml", "plan.h5", "plan.csv", "plan.yaml"):
        assert_left_alone(call("run", "case.yaml", "--history", name, folder=tmp_path), "is ")
    (tmp_path / "plan.yaml").rename(tmp_path / "was-a-plan.yaml")
    (tmp_path / "case.yaml").rename(tmp_path / "plan.yaml")
    assert_left_alone(call("run", "plan.yaml", folder=tmp_path), "plan.h5: is there and is no history")
    assert all_of(tmp_path).keys() >= {str(tmp_path / "plan.h5"), str(tmp_path / "plan.csv")}
    assert (tmp_path / "plan.h5").read_bytes() == before[str(tmp_path / "plan.h5")][3]


def test_a_batch_does_not_write_over_a_history(tmp_path: Path) -> None:
    write(tmp_path, GOOD)
    (tmp_path / "plan.yaml").write_text(PLAN)
    assert call("run", "case.yaml", "--history", "plan.h5", "--quiet", folder=tmp_path).returncode == 0
    before = all_of(tmp_path)
    for words in ([], ["--afresh"]):
        assert_left_alone(call("batch", "plan.yaml", *words, folder=tmp_path), "is no table")
    assert all_of(tmp_path) == before


@pytest.mark.parametrize("name", ["p.h5", "p.h5.part", "p.h5.new", "p.csv", "p.csv.new"])
@pytest.mark.parametrize("kind", FOREIGN)
def test_a_batch_writes_over_nothing_foreign(kind: str, name: str, tmp_path: Path) -> None:
    write(tmp_path, GOOD)
    (tmp_path / "plan.yaml").write_text(PLAN)
    FOREIGN[kind](tmp_path / name)
    before = all_of(tmp_path)
    for words in ([], ["--afresh"]):
        answer = call("batch", "plan.yaml", "--table", "p.h5", *words, folder=tmp_path)
        assert_left_alone(answer, f"{name}: is ")
        assert all_of(tmp_path) == before


def test_kept_histories_write_over_nothing_foreign(tmp_path: Path) -> None:
    write(tmp_path, GOOD)
    (tmp_path / "plan.yaml").write_text(PLAN + "histories: keep\n")
    (tmp_path / "plan-histories").mkdir()
    (tmp_path / "plan-histories" / "2-wall-3000-mm.h5").write_text("mine")
    assert_left_alone(call("batch", "plan.yaml", folder=tmp_path), "2-wall-3000-mm.h5: is there")
    assert [p.name for p in (tmp_path / "plan-histories").iterdir()] == ["2-wall-3000-mm.h5"]


def test_histories_and_tables_of_ours_are_written_over(tmp_path: Path) -> None:
    write(tmp_path, SECTION)
    (tmp_path / "plan.yaml").write_text(PLAN.replace("wall.2", "wall.1"))
    for _ in range(2):
        assert call("run", "case.yaml", "--quiet", folder=tmp_path).returncode == DONE
        assert call("batch", "plan.yaml", "--quiet", "--afresh", folder=tmp_path).returncode == DONE
    assert {p.name for p in tmp_path.iterdir()} == {
        "case.yaml", "case.h5", "case.xdmf", "plan.yaml", "plan.h5", "plan.csv"}


def test_two_runs_at_once_do_not_share_a_history(tmp_path: Path) -> None:
    write(tmp_path, GOOD)
    long = GOOD.replace("duration: 30 h", "duration: 300 d\n  accuracy: 1e-5 K")
    (tmp_path / "long.yaml").write_text(long)
    words = [program(), "run", "long.yaml", "--history", "x.h5", "--quiet"]
    with subprocess.Popen(words, cwd=tmp_path, stderr=subprocess.DEVNULL) as first:
        part = tmp_path / "x.h5.part"
        while not part.exists() and first.poll() is None:
            pass
        first.send_signal(signal.SIGSTOP)  # it cannot end while the other is refused
        if first.poll() is None and part.exists():
            answer = call("run", "case.yaml", "--history", "x.h5", folder=tmp_path)
            assert_left_alone(answer, "another run is at work on it")
            with h5py.File(part) as file:  # plain readers are not kept out
                assert file.attrs["completed"] == 0
        first.kill()
    assert call("run", "case.yaml", "--history", "x.h5", "--quiet", folder=tmp_path).returncode == 0
    assert not part.exists()


# Standard output that takes nothing


@pytest.mark.parametrize("closed", [False, True], ids=["full", "closed"])
@pytest.mark.parametrize("words", [
    "--help", "--version", "run --help", "batch --help", "materials", "check case.yaml",
    "run case.yaml", "run case.yaml --json", "run case.yaml --no-history", "batch plan.yaml",
    "batch plan.yaml --json", "find find.yaml", "find find.yaml --json",
    "merge part.h5 --to whole.h5"])
def test_an_answer_that_could_not_be_written(words: str, closed: bool, tmp_path: Path) -> None:
    write(tmp_path, GOOD)
    (tmp_path / "plan.yaml").write_text(PLAN)
    (tmp_path / "find.yaml").write_text(
        "title: wall\ncase: case.yaml\nfind: {of: box.wall.2.thickness, from: 10 mm, to: 60 mm, "
        "hold: 10 h}\n")
    if "merge" in words:
        assert call("batch", "plan.yaml", "--table", "part.h5", "--quiet", folder=tmp_path
                    ).returncode == DONE
    with open("/dev/full", "w", encoding="ascii") as full:
        answer = subprocess.run(
            [program(), *words.split()], cwd=tmp_path, check=False, stderr=subprocess.PIPE, text=True,
            **({"preexec_fn": lambda: os.close(1)} if closed else {"stdout": full}))
    assert answer.returncode == NOT_WRITTEN, answer.stderr
    assert answer.stderr.startswith("standard output: cannot be written (")
    assert len(answer.stderr.splitlines()) == 1
    if words.startswith("run case") and "--no-history" not in words:
        with h5py.File(tmp_path / "case.h5") as history:
            assert history.attrs["completed"] == 1


# A case computed again from its history


def bits(path: Path) -> dict[str, bytes]:
    found: dict[str, bytes] = {}

    def add(name: str, item) -> None:
        if isinstance(item, h5py.Dataset):
            found[name] = repr((item.shape, item.dtype)).encode() + item[...].tobytes()

    with h5py.File(path) as file:
        file.visititems(add)
    return found


@pytest.mark.parametrize("detail", ["as it is", "2d"])
@pytest.mark.parametrize("example", EXAMPLES, ids=lambda path: path.stem)
def test_an_example_is_computed_again_from_its_history_alone(
        example: Path, detail: str, tmp_path: Path) -> None:
    text = example.read_text()
    if detail == "2d":
        text = text.replace("run:\n", "run:\n  detail: 2d\n  section: {fineness: 0.5}\n", 1)
    # Materials that differ from the shipped ones tell whose the second run took.
    materials = tmp_path / "materials"
    materials.mkdir()
    for file in (SOURCE / "cases" / "materials").glob("*.yaml"):
        (materials / file.name).write_text(
            file.read_text().replace("0.02", "0.03").replace("333.", "331."))
    away = tmp_path / "away"
    away.mkdir()
    case = tmp_path / example.name
    case.write_text(text)
    for trace in example.parent.glob("*.csv"):
        (tmp_path / trace.name).write_bytes(trace.read_bytes())
    words = ("--materials", "materials")
    first = call("run", example.name, "--history", "first.h5", *words, folder=tmp_path)
    assert first.returncode == DONE, first.stderr
    checked = call("check", example.name, *words, folder=tmp_path)
    case.unlink()
    for file in [*tmp_path.glob("*.csv"), *materials.iterdir()]:
        file.unlink()
    materials.rmdir()
    (tmp_path / "first.h5").rename(away / "first.h5")
    again = call("run", "first.h5", folder=away)
    assert again.returncode == DONE, again.stderr
    assert again.stdout.replace("first-again.h5", "first.h5") == first.stdout
    assert bits(away / "first-again.h5") == bits(away / "first.h5")
    assert call("check", "first.h5", folder=away).stdout == checked.stdout


def test_a_case_of_a_batch_is_computed_again_from_its_history(tmp_path: Path) -> None:
    (tmp_path / "air.csv").write_text("time [h], air [degC]\n0, 20\n15, 30\n30, 25\n")
    write(tmp_path, GOOD.replace("air: 30 degC", "air: {trace: air.csv}"))
    (tmp_path / "plan.yaml").write_text(
        "title: drawn\ncase: case.yaml\nhistories: keep\ntolerances:\n  samples: 2\n  inputs:\n"
        "    - {of: box.wall.2.thickness, within: 1 mm}\n"
        "    - {of: materials.water_ice.conductivity.solid, within: 5 %}\n")
    assert call("batch", "plan.yaml", "--quiet", folder=tmp_path).returncode == DONE
    (tmp_path / "air.csv").unlink()
    for name in ("1-drawn-sample-1", "2-drawn-sample-2"):
        history = f"plan-histories/{name}.h5"
        answer = call("run", history, "--quiet", folder=tmp_path)
        assert answer.returncode == DONE, answer.stderr
        assert bits(tmp_path / f"{name}-again.h5") == bits(tmp_path / history)


def test_a_history_that_cannot_be_computed_again(tmp_path: Path) -> None:
    write(tmp_path, GOOD)
    assert call("run", "case.yaml", "--quiet", folder=tmp_path).returncode == DONE
    history = tmp_path / "case.h5"
    whole = history.read_bytes()
    for verb in ("run", "check"):
        answer = call(verb, "case.h5", "--materials", str(SOURCE / "cases" / "materials"),
                      folder=tmp_path)
        assert_refused(answer, "has its own materials")
    assert_left_alone(call("run", "case.h5", "--history", "case.h5", folder=tmp_path),
                      "is what the case is read from")
    (tmp_path / "link.h5").symlink_to("case.h5")
    assert_left_alone(call("run", "case.h5", "--history", "link.h5", folder=tmp_path), "is ")
    history.write_bytes(whole[: len(whole) // 2])
    assert_refused(call("run", "case.h5", folder=tmp_path), "is damaged or was changed")
    history.write_bytes(whole.replace(b"Thawline history 3", b"Thawline history 1"))
    assert_refused(call("run", "case.h5", folder=tmp_path), "is a history of layout 1")
    line = whole.index(b"sha256")
    history.write_bytes(whole[:line] + b"unfinished".ljust(512 - line, b"\n") + whole[512:])
    assert_refused(call("check", "case.h5", folder=tmp_path), "was not finished")


# Damage


@pytest.fixture
def parts(tmp_path: Path) -> Path:
    write(tmp_path, GOOD)
    (tmp_path / "plan.yaml").write_text(
        PLAN.replace("[20 mm, 3 m]", "[20 mm, 25 mm, 30 mm, 3 m]"))
    for i in (1, 2):
        assert call("batch", "plan.yaml", "--part", f"{i}/2", "--quiet", folder=tmp_path
                    ).returncode == DONE
    return tmp_path


def merged(folder: Path) -> subprocess.CompletedProcess[str]:
    return call("merge", "plan.part-1-of-2.h5", "plan.part-2-of-2.h5", "--to", "whole.h5", "--quiet",
                folder=folder)


def test_damaged_parts_are_told_in_one_sentence(parts: Path) -> None:
    part = parts / "plan.part-2-of-2.h5"
    whole = part.read_bytes()
    rng = np.random.default_rng(2)
    for place in [0, 20, 60, 511, 512, 600, len(whole) - 1, *rng.integers(512, len(whole), 60)]:
        damaged = bytearray(whole)
        damaged[place] ^= 1 << int(rng.integers(8))
        part.write_bytes(damaged)
        answer = merged(parts)
        if answer.returncode == DONE:
            assert place < 512  # a blank of the mark
            (parts / "whole.h5").unlink()
            (parts / "whole.csv").unlink()
            continue
        assert_refused(answer, "plan.part-2-of-2.h5: is ")
        assert len(answer.stderr.splitlines()) == 1
    for short in (0, 100, 512, 600, len(whole) // 2, len(whole) - 1):
        part.write_bytes(whole[:short])
        assert_refused(merged(parts), "plan.part-2-of-2.h5: is ")
    part.write_bytes(whole + b"\0")
    assert_refused(merged(parts), "is damaged or was changed")
    assert not (parts / "whole.h5").exists() and not (parts / "whole.csv").exists()


def test_tables_of_an_older_layout_are_told_to_be_none(parts: Path) -> None:
    part = parts / "plan.part-2-of-2.h5"
    with h5py.File(part, "w") as file:  # without a mark, as layouts 1 and 2 were
        file.attrs["table_version"] = 2
    whole = bytearray(part.read_bytes())
    whole[40:2000:7] = bytes(len(whole[40:2000:7]))
    part.write_bytes(whole)
    assert_refused(merged(parts), "plan.part-2-of-2.h5: is no whole table of a batch of this layout")


def test_every_dataset_of_a_table_and_a_history_has_its_checksum(parts: Path) -> None:
    assert merged(parts).returncode == DONE
    (parts / "jug.yaml").write_text(SECTION)
    assert call("run", "jug.yaml", "--quiet", folder=parts).returncode == DONE
    for name in ("whole.h5", "jug.h5"):
        without = []

        def look(path: str, item, without=without) -> None:
            if isinstance(item, h5py.Dataset) and not item.fletcher32:
                without.append(path)

        with h5py.File(parts / name) as file:
            file.visititems(look)
        assert without == []


def records(journal: bytes) -> list[tuple[int, bytes]]:
    """Place and content of every record behind the magic line."""
    found = []
    at = journal.index(b"\n") + 1
    while at < len(journal):
        (size,) = struct.unpack_from("<I", journal, at)
        found.append((at, journal[at + 4: at + 4 + size]))
        at += size + 8
    return found


def framed(record: bytes) -> bytes:
    return struct.pack("<I", len(record)) + record + struct.pack("<I", zlib.crc32(record))


WRONG_RECORDS = {
    "count too large": lambda r: r[:8] + struct.pack("<Q", 10**6) + r[16:],
    "count beyond all": lambda r: r[:8] + struct.pack("<Q", 2**63) + r[16:],
    "count too small": lambda r: r[:8] + struct.pack("<Q", 1) + r[16:],
    "count of none": lambda r: r[:8] + struct.pack("<Q", 0),
    "number of no case": lambda r: struct.pack("<Q", 999) + r[8:],
    "number 0": lambda r: struct.pack("<Q", 0) + r[8:],
    "short": lambda r: r[:11],
    "word out of range": lambda r: r[:16] + struct.pack("<d", 77) + r[24:],
    "negative word": lambda r: r[:16] + struct.pack("<d", -5) + r[24:],
    "no number": lambda r: r[:24] + struct.pack("<d", float("nan")) + r[32:],
    "infinite": lambda r: r[:24] + struct.pack("<d", float("inf")) + r[32:],
    "NUL in a reason": lambda r: r + b"a\0b",
}


@pytest.mark.parametrize("wrong", WRONG_RECORDS)
def test_a_journal_with_a_record_that_no_run_wrote(wrong: str, tmp_path: Path) -> None:
    write(tmp_path, GOOD)
    (tmp_path / "plan.yaml").write_text(PLAN)
    journal = tmp_path / "plan.h5.part"
    # There is room for the journal and none for the table.
    answer = subprocess.run(
        [program(), "batch", "plan.yaml", "--quiet"], cwd=tmp_path, check=False, capture_output=True,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (1500, 1500)))
    assert answer.returncode == NOT_WRITTEN
    content = journal.read_bytes()
    (place, _), (first, record), *_ = records(content)
    assert place < first
    broken = content[:first] + framed(WRONG_RECORDS[wrong](record))
    journal.write_bytes(broken)
    answer = call("batch", "plan.yaml", folder=tmp_path)
    assert_refused(answer, "holds a record that no run of this plan wrote")
    assert len(answer.stderr.splitlines()) == 1
    assert journal.read_bytes() == broken
    assert call("batch", "plan.yaml", "--afresh", "--quiet", folder=tmp_path).returncode == DONE


# Texts in CSV and XML


def test_cells_that_a_spreadsheet_takes_for_formulas_are_neutralised(tmp_path: Path) -> None:
    write(tmp_path, GOOD)
    titles = ["=1+1", "+cmd", "-x", "@sum", "-18 degC", "plain = text"]
    (tmp_path / "plan.yaml").write_text(
        "title: formulas\ncase: case.yaml\nvary:\n  - {of: title, name: =name, values: "
        f"{titles}}}\n")
    answer = call("batch", "plan.yaml", "--quiet", folder=tmp_path)
    assert answer.returncode == DONE, answer.stderr
    rows = list(csv.DictReader((tmp_path / "plan.csv").open(newline="")))
    assert [row["inputs/=name"] for row in rows] == [
        "'=1+1", "'+cmd", "'-x", "'@sum", "'-18 degC", "plain = text"]
    with h5py.File(tmp_path / "plan.h5") as table:
        assert list(table["inputs/=name"].asstr()) == titles
    for row in rows:
        for heading, cell in row.items():
            assert heading[0] not in "=+-@"
            if cell and cell[0] in "=+-@":
                float(cell)


@pytest.mark.parametrize("name", ["a & b.h5", "<jug>.h5", 'a"b\'c.h5', "Kühlbox.h5"])
def test_a_viewer_can_read_of_a_file_of_any_name(name: str, tmp_path: Path) -> None:
    write(tmp_path, SECTION)
    answer = call("run", "case.yaml", "--quiet", "--history", name, folder=tmp_path)
    assert answer.returncode == DONE, answer.stderr
    root = ElementTree.parse((tmp_path / name).with_suffix(".xdmf")).getroot()
    named = {item.text.rsplit(":", 1)[0] for item in root.iter("DataItem")
             if item.get("Format") == "HDF"}
    assert named == {name}


@pytest.mark.parametrize("name", [b"a\x1bb.h5", b"a\nb.h5", b"a\xff.h5"])
def test_a_name_that_no_viewer_could_read_is_refused(name: bytes, tmp_path: Path) -> None:
    write(tmp_path, SECTION)
    answer = subprocess.run([program(), "run", "case.yaml", "--history", name], cwd=tmp_path,
                            capture_output=True, check=False)
    assert answer.returncode == NOT_WRITTEN
    assert b"is no name that XML can hold" in answer.stderr
    assert b"\x1b" not in answer.stderr and b"\xff" not in answer.stderr
    assert [p.name for p in tmp_path.iterdir()] == ["case.yaml"]


def test_the_side_of_a_limit_and_its_worst_are_in_history_and_table(tmp_path: Path) -> None:
    write(tmp_path, GOOD.replace(
        "  - {name: drinks cold, probe: drinks, not_above: 10 degC}",
        "  - {name: drinks cold, probe: drinks, not_above: 10 degC}\n"
        "  - {name: no frost, probe: drinks, not_below: 60 degC}\n"
        "  - {name: mild, probe: drinks, not_below: -40 degC}"))
    (tmp_path / "plan.yaml").write_text(PLAN)
    assert call("run", "case.yaml", "--quiet", folder=tmp_path).returncode == DONE
    assert call("batch", "plan.yaml", "--quiet", folder=tmp_path).returncode == DONE
    row, failed = csv.DictReader((tmp_path / "plan.csv").open(newline=""))
    with h5py.File(tmp_path / "case.h5") as history:
        assert list(history["limits/side"].asstr()) == ["not_above", "not_below", "not_below"]
        worst = history["limits/worst"][:]
        probe = history["probes/temperature"][:, list(history["probes/names"].asstr()).index("drinks")]
        assert history["limits/worst"].attrs["units"] == "K"
    assert worst[1] == -1
    assert worst[0] == pytest.approx(probe.max(), abs=0.05) and worst[0] > 283.15
    assert worst[2] == pytest.approx(probe.min(), abs=0.05)
    assert row["limits/no frost/side"] == row["limits/mild/side"] == "not_below"
    assert row["limits/drinks cold/side"] == "not_above"
    assert row["limits/no frost/outcome"] == "never_within"
    assert row["limits/no frost/worst [degC]"] == failed["limits/mild/side"] == ""
    assert float(row["limits/drinks cold/worst [degC]"]) == pytest.approx(worst[0] - 273.15)
