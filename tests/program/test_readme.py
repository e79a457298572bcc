"""What the README shows is what happens."""

from __future__ import annotations

import os
import re
import subprocess
from pathlib import Path

import pytest
from test_program import HANGS

SOURCE = Path(__file__).resolve().parents[2]
README = (SOURCE / "README.md").read_text(encoding="utf-8")
CASE = re.search(r"```yaml\n(.*?)```", README, re.S)[1]


def thawline(*arguments: object, folder: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run([os.environ["THAWLINE"], *map(str, arguments)], cwd=folder,
                          capture_output=True, text=True, timeout=HANGS, check=False)


PLAN = re.findall(r"```yaml\n(.*?)```", README, re.S)[1]


def test_the_plan_in_the_readme_runs(tmp_path: Path) -> None:
    (tmp_path / "picnic.yaml").write_text(CASE, encoding="utf-8")
    (tmp_path / "picnic-plan.yaml").write_text(PLAN.replace("samples: 20", "samples: 2"),
                                               encoding="utf-8")
    result = thawline("batch", "picnic-plan.yaml", folder=tmp_path)
    assert result.returncode == 0, result.stderr
    assert "36 cases, 36 done" in result.stdout
    assert (tmp_path / "picnic-plan.csv").exists()


@pytest.mark.parametrize(("block", "verb", "says"), [
    (2, "batch", "Coolants in the place of 'coolant[1]', equal frozen energy"),
    (3, "find", "Sought: box.wall[2].thickness, from 20 mm to 120 mm"),
])
def test_the_design_questions_in_the_readme_run(block: int, verb: str, says: str,
                                                tmp_path: Path) -> None:
    (tmp_path / "picnic.yaml").write_text(CASE, encoding="utf-8")
    asked = re.findall(r"```yaml\n(.*?)```", README, re.S)[block]
    (tmp_path / "plan.yaml").write_text(f"title: asked\ncase: picnic.yaml\n{asked}",
                                        encoding="utf-8")
    result = thawline(verb, "plan.yaml", folder=tmp_path)
    assert result.returncode == 0, result.stdout + result.stderr
    assert says in result.stdout


def test_the_case_in_the_readme_runs(tmp_path: Path) -> None:
    (tmp_path / "picnic.yaml").write_text(CASE, encoding="utf-8")
    result = thawline("run", "picnic.yaml", folder=tmp_path)
    assert result.returncode == 0, result.stderr
    assert "drinks cold  holds" in result.stdout
    assert (tmp_path / "picnic.h5").exists()


def test_the_mistake_in_the_readme_is_answered_as_shown(tmp_path: Path) -> None:
    (tmp_path / "picnic.yaml").write_text(CASE.replace("length: 35 cm", "length: 35"),
                                          encoding="utf-8")
    result = thawline("check", "picnic.yaml", folder=tmp_path)
    assert result.returncode == 2
    assert result.stderr.splitlines()[0] in README


def test_the_report_in_the_readme_is_the_one_printed(tmp_path: Path) -> None:
    case = SOURCE / "cases" / "examples" / "fishing-boat.yaml"
    result = thawline("run", case, "--no-history", folder=tmp_path)
    shown = [line.strip() for line in README.splitlines()]
    for line in result.stdout.split("\nCaution")[0].splitlines():
        assert line.strip() in shown
