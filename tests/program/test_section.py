"""A case with `detail: 2d`: its history, what general viewers open, and its pictures."""

from __future__ import annotations

import os
import subprocess
import sys
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import h5py
import numpy as np
import pytest
from test_program import HANGS

SOURCE = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(SOURCE / "postprocess"))

CASE = """title: small jug in two dimensions
box:
  inside: {length: 24 cm, width: 20 cm, height: 20 cm}
  wall:
    - {material: pp, thickness: 2 mm}
    - {material: eps, thickness: 30 mm}
coolant:
  - {name: ice, material: water_ice, amount: 600 g, form: pack, thickness: 20 mm, place: floor,
     start: -5 degC}
payload:
  - {name: drinks, contents: cola, start: 12 degC,
     cans: {count: 4, volume: 0.33 L, diameter: 66 mm, height: 115 mm}}
surroundings:
  air: 30 degC
limits:
  - {name: drinks cold, probe: drinks, not_above: 10 degC}
run:
  duration: 6 h
  detail: 2d
  output_every: 1 h
"""


def run(folder: Path, text: str) -> Path:
    (folder / "jug.yaml").write_text(text, encoding="utf-8")
    done = subprocess.run([os.environ["THAWLINE"], "run", "jug.yaml"], cwd=folder, check=False,
                          capture_output=True, text=True, timeout=HANGS)
    assert done.returncode == 0, done.stderr
    return folder / "jug.h5"


@pytest.fixture(scope="module", params=["box", "round"])
def history_path(request, tmp_path_factory) -> Path:
    text = CASE
    if request.param == "round":
        text = text.replace("{length: 24 cm, width: 20 cm, height: 20 cm}",
                            "{diameter: 24 cm, height: 20 cm}")
    return run(tmp_path_factory.mktemp("section"), text)


def test_the_fields_of_a_section_lie_on_its_grid(history_path: Path) -> None:
    with h5py.File(history_path) as file:
        cell = file["/grid/section/cell"][...]
        inside = cell[cell >= 0]
        np.testing.assert_array_equal(np.sort(inside), np.arange(inside.min(), inside.max() + 1))
        assert file["/grid/section/quads"].shape == (len(inside), 4)
        surfaces = file["/grid/surface/cell"].shape[0]
        assert file["/fields/surface_temperature"].shape[1] == surfaces
        assert file["/results/energy_closure"][()] <= 1e-9
        # Heat by path from the surfaces' own temperatures is that of the budget.
        temperature = file["/fields/temperature"][-1]
        at = file["/grid/surface/cell"][...]
        flow = file["/grid/surface/conductance"][...] * (
            file["/fields/surface_temperature"][-1] - temperature[at])
        outer = file["/grid/surface/outer"][...] == 1
        assert flow[outer].sum() > 0


def test_a_viewer_finds_every_array_the_text_names(history_path: Path) -> None:
    root = ElementTree.parse(history_path.with_suffix(".xdmf")).getroot()
    with h5py.File(history_path) as file:
        steps = root.findall(".//Time")
        assert len(steps) == file["/time"].shape[0]
        for item in root.iter("DataItem"):
            if item.get("Format") != "HDF":
                continue
            name, path = item.text.split(":")
            assert name == history_path.name
            assert list(file[path].shape) == [int(n) for n in item.get("Dimensions").split()]


def test_pictures_of_a_section(history_path: Path, tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, SOURCE / "postprocess" / "draw.py", history_path, "--out", tmp_path,
         "--format", "png", "--only", "section", "flow", "spread", "film"],
        capture_output=True, text=True, timeout=HANGS, check=False)
    assert done.returncode == 0, done.stderr
    written = {path.name for path in tmp_path.iterdir()}
    assert written == {"jug-section.png", "jug-flow.png", "jug-spread.png", "jug-film.gif"}


def test_both_halves_of_a_section_are_alike(history_path: Path) -> None:
    from history import read_history

    history = read_history(history_path)
    cut = history.section.over_the_cut(history.fields.temperature[-1])
    np.testing.assert_array_equal(cut, cut[:, ::-1])
    assert len(history.section.x_lines) == cut.shape[1] + 1


def test_a_run_of_one_dimension_has_no_section(tmp_path: Path) -> None:
    path = run(tmp_path, CASE.replace("  detail: 2d\n", "  detail: 1d\n"))
    assert not path.with_suffix(".xdmf").exists()
    with h5py.File(path) as file:
        assert "section" not in file["/grid"]


def test_air_that_conducts_and_rows_of_cans_are_in_the_history_and_its_picture(tmp_path) -> None:
    text = CASE.replace("detail: 2d", "detail: 2d\n  section: {air_conductivity: 0.05 W/m/K}")
    text = text.replace("count: 4", "count: 8").replace("height: 115 mm", "height: 80 mm")
    text = text.replace("volume: 0.33 L", "volume: 0.25 L")
    text = text.replace("probe: drinks,", "probe: drinks warmest,")
    path = run(tmp_path, text)
    with h5py.File(path) as file:
        group = file["/grid/region"]
        pieces, first, item = (group[name][...] for name in ("pieces", "first", "item"))
        assert pieces.sum() == 8
        volume = file["/grid/volume"][...]
        assert volume[first[item < 0]].sum() == pytest.approx(
            0.24 * 0.2 * 0.2 - 0.6 / 917 - 8 * np.pi / 4 * 0.066**2 * 0.08, rel=0.02)
        rows = file["/fields/temperature"][:, first[pieces > 0]]
        names = [name.decode() for name in file["/probes/names"][...]]
        probes = file["/probes/temperature"][...]
        np.testing.assert_allclose(probes[:, names.index("drinks warmest")], rows.max(axis=1))
        np.testing.assert_allclose(probes[:, names.index("drinks coldest")], rows.min(axis=1))
        assert np.ptp(rows[-1]) > 0.05
        # The air under the lid is warmer than that over the ice.
        middle = (group["z_from"][...] + group["z_to"][...]) / 2
        air = file["/fields/temperature"][-1][first[item < 0]]
        assert air[np.argmax(middle[item < 0])] > air[np.argmin(middle[item < 0])]

    from history import read_history
    from matplotlib.figure import Figure
    from section_frames import draw_frame, _scale

    history = read_history(path)
    axes = Figure().subplots()
    draw_frame(history, len(history.time) - 1, axes, _scale(history))
    outlined = [c for c in axes.collections if len(c.get_paths()) == 2 * (pieces > 0).sum()]
    assert outlined, "two rectangles for every row, one in each half"
