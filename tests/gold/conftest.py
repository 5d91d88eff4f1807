"""The sample family, shared with whoever else wants it."""

import os
from pathlib import Path

import pytest

from tests.shared_demo import shared_demo


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What `lineage demo` made; only to be read."""
    base = tmp_path_factory.getbasetemp()
    return shared_demo(base.parent if "PYTEST_XDIST_WORKER" in os.environ else base)
