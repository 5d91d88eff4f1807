"""What this program is, as one id: its version, and in a checkout the state of its files."""

from functools import cache
from importlib.resources import files
from pathlib import Path

from lineage import __version__
from lineage.archive.inputs import id_of
from lineage.reports.assets import templates


@cache
def edition() -> str:
    """Changes whenever a page might come out otherwise for the same family."""
    folders = (Path(str(files("lineage"))), templates())
    stamps = [
        f"{path.name} {path.stat().st_mtime_ns} {path.stat().st_size}"
        for folder in folders
        for path in sorted(folder.rglob("*"))
        if path.suffix in {".py", ".j2", ".css", ".js", ".md"}
    ]
    return id_of(__version__, stamps)
