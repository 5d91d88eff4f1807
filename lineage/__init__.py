"""Design revisions of small competition robots: `open(folder)` is the front door."""

from typing import TYPE_CHECKING

from lineage.version import __version__

if TYPE_CHECKING:
    from pathlib import Path

    from lineage.tasks.workspace import Workspace

__all__ = ["__version__", "open"]


def open(folder: "str | Path" = ".") -> "Workspace":  # noqa: A001 - it opens a family, as `gzip.open` a file
    """The family in a folder or above it, as its files are now. Raises AskedWrongly where there is none."""
    from lineage.tasks.workspace import open_family  # noqa: PLC0415 - `lineage --help` loads no room

    return open_family(folder)
