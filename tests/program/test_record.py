"""`thawline record` as a user meets it."""

from __future__ import annotations

import json
import math
import os
import subprocess
from pathlib import Path

import pytest
from test_program import BAD_INPUT, DONE, GOOD, NOT_WRITTEN, assert_refused, call, write

LOG = ("Serial;0042\r\n"
       "Date;Time;box;room;note\r\n"
       ";;°C;°C;\r\n"
       + "".join(f"28.03.2026;{10 + i // 60:02}:{i % 60:02};{4 + 0.1 * (i // 20):.1f};{20 + i % 2},0;"
                 f"\r\n".replace(".", ",").replace("28,03,2026", "28.03.2026")
                 for i in range(120) if not 30 <= i < 45)
       + "28.03.2026;12:00;---;21,0;end\r\n")


def record(folder: Path, text: str | bytes, *options: str):
    data = text.encode("cp1252") if isinstance(text, str) else text
    (folder / "log.csv").write_bytes(data)
    return call("record", "log.csv", *options, folder=folder)


def test_what_was_understood_is_told(tmp_path: Path) -> None:
    answer = record(tmp_path, LOG)
    assert answer.returncode == DONE, answer.stderr
    assert answer.stderr == ""
    for told in ["log.csv: 2 channels, 106 rows over 2 h", "Latin-1, lines end with CRLF",
                 "between semicolons; decimal mark: comma",
                 "line 2, units in line 3; readings from line 4",
                 "date and time in two columns in 'Date', 'Time'",
                 "day first, told by the way the dates are written",
                 "2026-03-28 10:00:00, in a zone that is not told", "'note', no numbers",
                 "box [°C]", "105, 1 missing", "4.0 to 4.5 °C", "60 s, regular",
                 "1 longer than 90 s, the longest 16 min from 29 min", "0.1 °C", "106, none missing"]:
        assert told in answer.stdout, told
    assert max(map(len, answer.stdout.splitlines())) <= 100
    assert list(tmp_path.iterdir()) == [tmp_path / "log.csv"]


def test_the_picture_has_the_shape_of_the_channel(tmp_path: Path) -> None:
    rows = "".join(f"{i},{i if i < 500 else 1000 - i}\n" for i in range(1001) if not 700 < i < 800)
    answer = record(tmp_path, "time [s],box [degC]\n" + rows)
    lines = [line for line in answer.stdout.splitlines() if "|" in line]
    assert len(lines) == 8
    heads = [line.split("|")[0].strip() for line in lines]
    assert heads[0] == "500" and heads[-1] == "0" and not any(heads[1:-1])
    grid = [line.split("|")[1].ljust(64) for line in lines]
    columns = ["".join(row[c] for row in grid) for c in range(64)]
    tops = [column.find("o") for column in columns]
    assert tops[0] == 7 and tops[31] == 0 and tops[63] == 7
    assert columns[47].strip() == ""  # the gap
    rising = [top for top in tops[:31] if top >= 0]
    assert rising == sorted(rising, reverse=True)


def test_json_holds_the_same(tmp_path: Path) -> None:
    answer = record(tmp_path, LOG, "--json")
    assert answer.returncode == DONE, answer.stderr
    told = json.loads(answer.stdout)
    assert told["rows"] == 106 and told["encoding"] == "Latin-1" and told["separator"] == ";"
    assert told["decimal_mark"] == "comma" and told["header_line"] == 2 and told["unit_line"] == 3
    assert told["time"]["first_row"] == "2026-03-28 10:00:00"
    assert told["time"]["dates"] == "day_first" and told["time"]["zone"] is None
    box, room = told["channels"]
    assert box["name"] == "box" and box["unit"] == "°C" and box["missing"] == 1
    assert math.isclose(box["least_K"], 277.15) and math.isclose(box["resolution_K"], 0.1)
    assert box["interval_s"] == 60 and box["gaps"] == 1 and box["longest_gap_s"] == 960
    assert room["readings"] == 106


def test_dates_are_asked_for_and_taken(tmp_path: Path) -> None:
    log = "when,box (F)\n02/03/2026 2:10 PM,40\n02/03/2026 2:20 PM,41\n"
    answer = record(tmp_path, log)
    assert_refused(answer, "--dates")
    assert answer.stderr.startswith("log.csv:2:1: ")
    answer = record(tmp_path, log, "--dates", "month_first")
    assert answer.returncode == DONE
    assert "2026-02-03 14:10:00" in answer.stdout and "told by what was said" in answer.stdout
    answer = record(tmp_path, log, "--dates", "english")
    assert answer.returncode == BAD_INPUT and answer.stdout == ""


def test_a_clock_that_jumps_is_said(tmp_path: Path) -> None:
    ahead = "when,box (C)\n2026-03-29 01:40,4\n2026-03-29 01:50,5\n2026-03-29 03:00,6\n"
    answer = record(tmp_path, ahead)
    assert "jumps ahead by an hour in line 4" in answer.stdout
    assert "kept as written" in answer.stdout
    back = "when,box (C)\n2026-10-25 02:40,4\n2026-10-25 02:50,5\n2026-10-25 02:00,6\n"
    answer = record(tmp_path, back)
    assert_refused(answer, "--hour-jumps taken_out")
    answer = record(tmp_path, back, "--hour-jumps", "taken_out", "--json")
    told = json.loads(answer.stdout)
    assert told["clock_jumps"] == [{"line": 4, "by_s": -3600.0, "taken_out": True}]
    assert told["duration_s"] == 1200


@pytest.mark.parametrize(("data", "place", "says"), [
    (b"", "log.csv:1:1: ", "is empty"),
    (b"time [h],box [degC]\n0,4\n1,warm\n", "log.csv:3:3: ", "'warm' is not a finite number"),
    (b"time [h],box [degC]\n0,4\n1,\x00\n", "log.csv:3:3: ", "is not plain text"),
    (b"no table\n", "log.csv:1:1: ", "holds no header"),
])
def test_broken_records_are_refused(data: bytes, place: str, says: str, tmp_path: Path) -> None:
    answer = record(tmp_path, data)
    assert_refused(answer, says)
    assert answer.stderr.startswith(place)


def test_a_missing_file_is_refused(tmp_path: Path) -> None:
    assert_refused(call("record", "none.csv", folder=tmp_path), "there is no such file")
    assert_refused(call("record", ".", folder=tmp_path), "is a folder")


def test_a_name_with_control_characters_stays_tame(tmp_path: Path) -> None:
    answer = record(tmp_path, "time [h],\"b\u009b31mox\n[degC]\"\n0,4\n1,5\n".encode())
    assert "\u009b" not in answer.stdout and "\x1b" not in answer.stdout


def test_a_record_is_the_air_of_a_case_and_of_its_history(tmp_path: Path) -> None:
    (tmp_path / "log.csv").write_bytes(LOG.encode("cp1252"))
    write(tmp_path, GOOD.replace("air: 30 degC", "air: {trace: log.csv, channel: room}")
          .replace("duration: 30 h", "duration: 2 h"))
    first = call("run", "case.yaml", "--json", folder=tmp_path)
    assert first.returncode == DONE, first.stderr
    (tmp_path / "log.csv").unlink()
    again = call("run", "case.h5", "--json", folder=tmp_path)
    assert again.returncode == DONE, again.stderr
    assert json.loads(first.stdout)["limits"] == json.loads(again.stdout)["limits"]
    shown = call("check", "case.h5", folder=tmp_path).stdout
    assert "starts with the first row of the trace, 2026-03-28 10:00:00" in shown


def test_a_full_disk_is_told(tmp_path: Path) -> None:
    (tmp_path / "log.csv").write_text("time [h],box [degC]\n0,4\n1,5\n")
    with open("/dev/full", "w", encoding="ascii") as full:
        answer = subprocess.run([os.environ["THAWLINE"], "record", "log.csv"], cwd=tmp_path,
                                stdout=full, stderr=subprocess.PIPE, text=True, check=False)
    assert answer.returncode == NOT_WRITTEN
