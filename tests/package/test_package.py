"""The installed package, moved to another folder: its program, and a project outside the tree that
links its library. Run by ctest, which names the build folder (THAWLINE_BUILD), its type and flags."""

from __future__ import annotations

import json
import os
import pathlib
import re
import shutil
import subprocess

import h5py
import pytest

ROOT = pathlib.Path(__file__).resolve().parents[2]
OUTSIDE = pathlib.Path(__file__).resolve().parent / "outside"
BUILD = pathlib.Path(os.environ["THAWLINE_BUILD"])
FLAGS = os.environ.get("THAWLINE_CXX_FLAGS", "")
CASE = ROOT / "cases" / "examples" / "fishing-boat.yaml"


def done(*words, **options) -> str:
    run = subprocess.run(list(map(str, words)), capture_output=True, text=True, **options)
    assert run.returncode == 0, run.stdout[-3000:] + run.stderr[-3000:]
    return run.stdout


@pytest.fixture(scope="module")
def moved(tmp_path_factory) -> pathlib.Path:
    """An installation that no longer lies where it was installed."""
    folder = tmp_path_factory.mktemp("package")
    done("cmake", "--install", BUILD, "--prefix", folder / "first")
    return (folder / "first").rename(folder / "elsewhere")


@pytest.fixture(scope="module")
def case(tmp_path_factory) -> pathlib.Path:
    """A copy of the case, so that nothing is found beside it in the tree; as columns, which are soon fitted."""
    copy = tmp_path_factory.mktemp("case") / CASE.name
    copy.write_text(CASE.read_text().replace("\nrun:\n", "\nrun:\n  detail: 1d\n"))
    return copy


def hold_time_of_installed_program(moved: pathlib.Path, case: pathlib.Path) -> float:
    answer = done(moved / "bin" / "thawline", "run", case, "--json", "--quiet", "--no-history", cwd=case.parent)
    return json.loads(answer)["limits"][0]["hold_time_s"]


@pytest.fixture(scope="module")
def consumer(moved, tmp_path_factory) -> pathlib.Path:
    """Build folder of the project outside; it asks for the numerics alone."""
    folder = tmp_path_factory.mktemp("outside")
    source = shutil.copytree(OUTSIDE, folder / "source")
    done("cmake", "-S", source, "-B", folder / "build", f"-DCMAKE_PREFIX_PATH={moved}",
         "-DCOMPONENTS_ASKED=COMPONENTS;solver", f"-DCMAKE_BUILD_TYPE={os.environ['THAWLINE_BUILD_TYPE']}",
         f"-DCMAKE_CXX_COMPILER={os.environ['THAWLINE_CXX_COMPILER']}", f"-DCMAKE_CXX_FLAGS={FLAGS}",
         "-DCMAKE_EXPORT_COMPILE_COMMANDS=ON", "-DCMAKE_FIND_PACKAGE_NO_PACKAGE_REGISTRY=ON")
    done("cmake", "--build", folder / "build")
    return folder / "build"


def test_program_finds_its_materials_after_a_move(moved, case):
    assert hold_time_of_installed_program(moved, case) > 3600
    assert "gel_pack" in done(moved / "bin" / "thawline", "materials", cwd=case.parent)


def test_plans_find_the_materials_too(moved, tmp_path):
    shutil.copy(CASE, tmp_path)
    (tmp_path / "plan.yaml").write_text(
        f"title: two\ncase: {CASE.name}\nvary:\n  - {{of: run.accuracy, values: [0.5 K]}}\n")
    done(moved / "bin" / "thawline", "batch", "plan.yaml", "--quiet", cwd=tmp_path)
    assert (tmp_path / "plan.h5").exists()


def test_outside_program_computes_the_same_hold_time(moved, case, consumer):
    ours = float(done(consumer / "hold_time", case, cwd=case.parent))
    assert ours == hold_time_of_installed_program(moved, case)


def test_headers_of_outside_come_from_the_moved_copy_only(consumer):
    command = json.loads((consumer / "compile_commands.json").read_text())[0]["command"]
    assert str(ROOT) not in command and str(BUILD) not in command
    assert "-Werror" not in command and "-Wall" not in command


def test_whole_package_fits_a_record(moved, case, tmp_path):
    """With all components, HDF5's and Ceres among them."""
    done("cmake", "-S", OUTSIDE, "-B", tmp_path / "build", f"-DCMAKE_PREFIX_PATH={moved}",
         f"-DCMAKE_BUILD_TYPE={os.environ['THAWLINE_BUILD_TYPE']}",
         f"-DCMAKE_CXX_COMPILER={os.environ['THAWLINE_CXX_COMPILER']}", f"-DCMAKE_CXX_FLAGS={FLAGS}")
    done("cmake", "--build", tmp_path / "build", "--target", "learn")
    program = moved / "bin" / "thawline"
    done(program, "run", case, "--quiet", "--history", tmp_path / "box.h5")
    with h5py.File(tmp_path / "box.h5") as file:
        air = [name.rstrip("\0") for name in file["probes/names"].asstr()[...]].index("air")
        rows = [f"{t / 60:.3f},{k - 273.15:.1f}\n"
                for t, k in zip(file["time"][...], file["probes/temperature"][:, air])]
    (tmp_path / "log.csv").write_text("time [min],inside [degC]\n" + "".join(rows))
    shutil.copy(case, tmp_path / "box.yaml")
    (tmp_path / "trial.yaml").write_text(
        "title: one box\ncase: box.yaml\n"
        "records: [{file: log.csv, channels: [{channel: inside, is: air}]}]\n"
        "fit: {free: [{of: box.gasket_leak, name: leak, from: 0.001 W/K, to: 0.2 W/K}]}\n")
    ours = list(map(float, done(tmp_path / "build" / "learn", tmp_path / "trial.yaml").split()))
    answer = json.loads(done(program, "fit", "trial.yaml", "--json", cwd=tmp_path))
    assert ours == [answer["values"][0][key] for key in ("value", "low", "high")]
