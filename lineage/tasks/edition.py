"""What this program is, as one id: its version and its own files, so that two copies of one make the same lists."""

from functools import cache
from importlib.resources import files
from pathlib import Path

from lineage.archive.ids import content_id
from lineage.archive.inputs import id_of
from lineage.reports.assets import templates
from lineage.version import __version__


@cache
def edition() -> str:
    """Changes whenever a page might come out otherwise for the same family."""
    folders = (Path(str(files("lineage"))), templates())
    own = [
        f"{path.relative_to(folder).as_posix()} {content_id(path.read_bytes())}"
        for folder in folders
        for path in sorted(folder.rglob("*"))
        if path.suffix in {".py", ".j2", ".css", ".js", ".md"}
    ]
    return id_of(__version__, own)
