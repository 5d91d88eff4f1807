"""The sample family, shared with whoever else wants it; and skips that are none where everything is at hand."""

import os
from collections.abc import Generator
from pathlib import Path

import pytest

from tests.shared_demo import shared_demo


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What `lineage demo` made; only to be read."""
    base = tmp_path_factory.getbasetemp()
    return shared_demo(base.parent if "PYTEST_XDIST_WORKER" in os.environ else base)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport() -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """With LINEAGE_SKIP_NOTHING set, a test that is skipped here has failed: whoever set it sees to what it needs."""
    report = yield
    if report.skipped and os.environ.get("LINEAGE_SKIP_NOTHING"):
        report.outcome = "failed"
        report.longrepr = f"skipped, which $LINEAGE_SKIP_NOTHING forbids: {report.longrepr}"
    return report
