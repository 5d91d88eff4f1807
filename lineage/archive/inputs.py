"""What pages are made from, as one id: that of all files of a family, or of some of its folders."""

from collections.abc import Iterable
from pathlib import Path
from typing import Final

from lineage.archive.ids import content_id
from lineage.archive.tree import Tree, WorkingTree

LOGGED: Final = ("family.yaml", "results/", "bouts/", "events/", "builds/")
"""What recorded builds and all that was logged on them are made from."""


def ids_of_files(tree: Tree, without: str | None = None) -> dict[str, str]:
    """Path → content id of all files of a family, those below the folder `without` left out."""
    found = {}
    for path in tree.files():
        if without is not None and path.startswith(f"{without}/"):
            continue
        known = tree.content_id(path)
        if known is not None:
            found[path] = known
    return found


def id_of(*parts: str | Iterable[str]) -> str:
    """One id of texts, in their order."""
    flat = [part if isinstance(part, str) else "\0".join(part) for part in parts]
    return content_id("\n".join(flat).encode())


def id_of_files(ids: dict[str, str], folders: tuple[str, ...] = ()) -> str:
    """One id of the files in some folders; of all without any."""
    return id_of(
        f"{path} {id_}" for path, id_ in sorted(ids.items()) if not folders or path.startswith(folders)
    )


def inside(tree: Tree, folder: Path) -> str | None:
    """The path of a folder in the family of a working tree; None where it lies elsewhere."""
    if not isinstance(tree, WorkingTree):
        return None
    place = folder.resolve()
    return place.relative_to(tree.root).as_posix() if place.is_relative_to(tree.root) else None
