"""Every test runs with a home and git settings of its own; the sample family is replayed once for all of them."""

import os
import tempfile
from pathlib import Path

import pytest

from tests.builders import isolate
from tests.shared_demo import shared_demo

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


@pytest.fixture(scope="session")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder that all workers of one run have in common."""
    base = tmp_path_factory.getbasetemp()
    return base.parent if "PYTEST_XDIST_WORKER" in os.environ else base


@pytest.fixture(scope="session")
def demo(shared: Path) -> Path:
    """What `lineage demo` made; only to be read."""
    return shared_demo(shared)
