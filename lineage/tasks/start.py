"""A new family in a folder: git, attributes, and a family.yaml that teaches its keys."""

from pathlib import Path

from msgspec import Struct

from lineage.archive.attributes import GITATTRIBUTES, GITIGNORE
from lineage.archive.git import init_repository
from lineage.archive.keep import write_whole
from lineage.archive.kept import keep
from lineage.archive.tree import FAMILY_FILE
from lineage.problems import AskedWrongly, NotNow
from lineage.reports.assets import templates
from lineage.spec.lines import quoted


class Started(Struct, frozen=True, kw_only=True):
    """What was written, and what to say about it."""

    folder: str
    paths: tuple[str, ...]
    said: tuple[str, ...]


def starter(name: str) -> str:
    """A starter file of templates/starter."""
    return (templates() / "starter" / name).read_text(encoding="utf-8")


def make_folder(folder: Path) -> None:
    """Makes a folder that may be there already. Raises AskedWrongly where the disk does not let it."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise AskedWrongly(f"{folder} cannot be made: {error.strerror}", "a folder of your own") from error


def start(folder: Path, title: str, *, dry_run: bool = False) -> Started:
    """Makes a family in a folder that has none. Raises AskedWrongly where one is there already."""
    if (folder / FAMILY_FILE).exists():
        raise AskedWrongly(f"{folder} has a {FAMILY_FILE} already", "a folder without a family", "")
    files = {
        ".gitattributes": GITATTRIBUTES.encode(),
        ".gitignore": GITIGNORE.encode(),
        FAMILY_FILE: starter("family.yaml").replace("TITLE", quoted(title)).encode(),
    }
    for name in (".gitattributes", ".gitignore"):
        if (folder / name).exists():  # somebody's own: it stays, and what it lacks is said
            del files[name]
    said = []
    if ".gitattributes" not in files:
        said.append("put into .gitattributes:\n" + GITATTRIBUTES)
    if dry_run:
        return Started(folder=str(folder), paths=tuple(files), said=tuple(said))
    make_folder(folder)
    try:
        init_repository(folder)
    except NotNow as error:
        said.append(f"no git repository: {error}")
    write_whole(folder, files)
    kept = keep(folder, list(files), f"Begin the family {title}")
    if kept.said:
        said.append(kept.said)
    return Started(folder=str(folder), paths=tuple(files), said=tuple(said))
