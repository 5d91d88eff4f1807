"""Every test runs with a home and git settings of its own."""

import tempfile
from pathlib import Path

import pytest

from tests.builders import isolate

_home = pytest.StashKey[tempfile.TemporaryDirectory[str]]()


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--renew", metavar="NAME", help="approve this one output of tests/gold as it comes out now"
    )


def pytest_configure(config: pytest.Config) -> None:
    home = config.stash[_home] = tempfile.TemporaryDirectory(prefix="lineage-home-")
    isolate(Path(home.name))


def pytest_unconfigure(config: pytest.Config) -> None:
    config.stash[_home].cleanup()
