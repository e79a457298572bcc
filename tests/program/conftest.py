"""Options of the program's tests."""

from __future__ import annotations

import pytest


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--kills", type=int, default=10,
                     help="how many random instants a batch is killed at")
