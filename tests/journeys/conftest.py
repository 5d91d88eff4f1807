"""Copies of the sample family, and drawings that are read once."""

import shutil

import pytest

from tests.builders import GitFamily


def pytest_collection_modifyitems(items):
    """The demo is begun first and asked for last, so that no worker waits for it where several run."""
    replayed = [item for item in items if {"demo", "family"} & set(getattr(item, "fixturenames", ()))]
    others = [item for item in items if item not in set(replayed)]
    items[:] = [*replayed[:1], *others, *replayed[1:]]


@pytest.fixture(autouse=True)
def _drawings_are_read_once(shared, monkeypatch) -> None:
    """What was read is kept, as it is at home; that this changes no answer has a journey of its own."""
    monkeypatch.setenv("ROBOT_LINEAGE_CACHE", str(shared / "cache"))


@pytest.fixture
def family(demo, tmp_path) -> GitFamily:
    """A copy of the sample family that a journey may change."""
    copy = tmp_path / "waders"
    shutil.copytree(demo, copy, ignore=shutil.ignore_patterns("pages"), symlinks=True)
    found = object.__new__(GitFamily)
    found.top = found.root = copy
    found.commits = 0
    return found
