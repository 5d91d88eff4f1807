"""The sample family, replayed once for all journeys."""

import os
import shutil
import time
from pathlib import Path

import pytest

from tests.builders import GitFamily
from tests.program import installed


def pytest_collection_modifyitems(items):
    """The demo is begun first and asked for last, so that no worker waits for it where several run."""
    replayed = [item for item in items if {"demo", "family"} & set(getattr(item, "fixturenames", ()))]
    others = [item for item in items if item not in set(replayed)]
    items[:] = [*replayed[:1], *others, *replayed[1:]]


@pytest.fixture(scope="session")
def shared(tmp_path_factory) -> Path:
    """A folder that all workers of one run have in common."""
    base = tmp_path_factory.getbasetemp()
    return base.parent if "PYTEST_XDIST_WORKER" in os.environ else base


@pytest.fixture(autouse=True)
def _drawings_are_read_once(shared, monkeypatch) -> None:
    """What was read is kept, as it is at home; that this changes no answer has a journey of its own."""
    monkeypatch.setenv("ROBOT_LINEAGE_CACHE", str(shared / "cache"))


@pytest.fixture(scope="session")
def demo(shared) -> Path:
    """What `lineage demo` made; only to be read. Several workers share one."""
    place, ready = shared / "waders", shared / "waders-answer"
    try:
        (shared / "waders-begun").mkdir()
    except FileExistsError:
        for _ in range(1200):
            if ready.exists():
                return place
            time.sleep(0.1)
        pytest.fail("another worker did not finish `lineage demo` within two minutes")
    answer = installed(shared, "demo", "waders", env={"ROBOT_LINEAGE_CACHE": str(shared / "cache")})
    assert answer.status == 0, answer.err
    beside = shared / "waders-answer-begun"
    beside.write_text(answer.out)
    beside.rename(ready)
    return place


@pytest.fixture
def family(demo, tmp_path) -> GitFamily:
    """A copy of the sample family that a journey may change."""
    copy = tmp_path / "waders"
    shutil.copytree(demo, copy, ignore=shutil.ignore_patterns("pages"), symlinks=True)
    found = object.__new__(GitFamily)
    found.top = found.root = copy
    found.commits = 0
    return found
