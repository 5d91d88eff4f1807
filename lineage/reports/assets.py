"""Finds what is shipped beside the code: templates and the sample family.

In a checkout they stand at the top level, in a wheel inside the package. The checkout comes first, because an
editable install copies such folders once and the copies go stale.
"""

from functools import cache
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent.parent


@cache
def templates() -> Path:
    """The folder of page templates and starter files."""
    return _found("templates", "_templates")


@cache
def sample_family() -> Path:
    """The folder of the sample family."""
    return _found("sample-family", "_sample_family")


def _found(in_checkout: str, in_wheel: str) -> Path:
    beside = _PACKAGE.parent / in_checkout
    if (_PACKAGE.parent / "pyproject.toml").is_file() and beside.is_dir():
        return beside
    return _PACKAGE / in_wheel


def asset_text(folder: str, name: str) -> str:
    """One text of `templates` or `sample-family`, by its name in that folder."""
    places = {"templates": templates, "sample-family": sample_family}
    return (places[folder]() / name).read_text(encoding="utf-8")
