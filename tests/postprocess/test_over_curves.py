"""The pictures of a trial."""

from __future__ import annotations

from pathlib import Path

import learnt
import numpy as np
import over_curves
from matplotlib.figure import Figure
from trial import Channel, Hold, Learnt, Logged, Trial


def made() -> Trial:
    time = np.linspace(-3600.0, 36000.0, 100)
    curve = 275.0 + time / 7200
    can = Channel("can", "cans", time, curve + 0.3, np.where(time < 0, np.nan, curve),
                  (time >= 0) & (time < 18000))
    room = Channel("table", "", time, np.full(100, 294.0), np.full(100, np.nan), time >= 0)
    record = Logged("one", 36000.0, (can, room), (Hold("cold", 278.0, 21600.0, 20000.0),),
                    ((18000.0, 36000.0, "asleep"),))
    return Trial(Path("one.h5"), "A trial", (record, record), None)


def test_dots_lie_over_curves_with_differences_below() -> None:
    trial = made()
    figure = Figure(figsize=over_curves.size(trial))
    over_curves.draw(trial, figure)
    _, first, second = figure.subfigs
    upper, lower = first.axes
    lines = {line.get_label(): line for line in upper.lines}
    x, y = lines["can, measured"].get_data()
    assert np.all(x >= 0) and np.all(x < 5)
    assert np.allclose(y, 275.3 + x / 2 - 273.15)
    difference = lower.lines[0].get_ydata()
    assert np.nanmax(np.abs(difference - 0.3)) < 1e-9
    assert np.isnan(difference[-1])
    assert len(second.axes) == 2
    words = [text.get_text() for text in upper.texts]
    assert "computed 6.0 h" in words and "measured 5.6 h" in words


def test_values_have_their_intervals_and_strong_ties_a_number() -> None:
    tied = np.array([[1.0, -0.97], [-0.97, 1.0]])
    fit = Learnt(("foam", "leak"), ("W/m/K", "W/K"), np.array([0.03, 0.05]), np.array([0.02, 0.01]),
                 np.array([0.04, 0.2]), np.array([True, False]), tied)
    figure = Figure(figsize=(14, 5), layout="constrained")
    learnt.draw(Trial(Path("one.h5"), "A trial", (), fit), figure)
    left, right = figure.axes[:2]
    words = [text.get_text() for text in left.texts]
    assert words == ["0.03 (0.02 to 0.04) W/m/K", "0.05 (0.01 to 0.2) W/K, not told"]
    assert [text.get_text() for text in right.texts] == ["\N{MINUS SIGN}.97"] * 2
