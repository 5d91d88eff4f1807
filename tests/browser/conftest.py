"""Skips that are none where everything is at hand."""

import os
from collections.abc import Generator

import pytest


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport() -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """With LINEAGE_SKIP_NOTHING set, a test that is skipped here has failed: whoever set it sees to what it needs."""
    report = yield
    if report.skipped and os.environ.get("LINEAGE_SKIP_NOTHING"):
        report.outcome = "failed"
        report.longrepr = f"skipped, which $LINEAGE_SKIP_NOTHING forbids: {report.longrepr}"
    return report
