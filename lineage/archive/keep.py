"""Writing new files whole or not at all: written beside, made durable, renamed. Nothing is ever overwritten."""

import os
import shutil
from collections.abc import Mapping
from pathlib import Path

from lineage.archive.locking import only_writer
from lineage.archive.tree import UNFINISHED, is_inside
from lineage.problems import AskedWrongly, NotNow


def write_whole(root: Path, files: Mapping[str, bytes], folder: str = "") -> tuple[str, ...]:
    """Write new files of a family; the paths written, those already there with the same bytes left out.

    Files below `folder` come last and all at once, by one rename: the folder is whole or not there. Raises
    AskedWrongly where another file or folder stands in the way, or a link leads out of the family.
    """
    root = root.resolve()
    together = {path: data for path, data in files.items() if folder and path.startswith(f"{folder}/")}
    with only_writer(root):
        alone = {path: data for path, data in files.items() if path not in together}
        new = {path: data for path, data in alone.items() if not _stands(root, path, data)}
        whole = all(_stands(root, path, data) for path, data in together.items()) if together else True
        if not whole:
            _refuse_taken(root, folder)
        try:
            for path, data in new.items():
                _write_file(root, path, data)
            if not whole:
                _write_folder(root, folder, together)
        except OSError as error:
            raise _unwritable(error) from error
    return (*new, *(() if whole else together))


def write_new(root: Path, path: str, data: bytes) -> bool:
    """Write one new file; False where it stands there already with the same bytes."""
    return bool(write_whole(root, {path: data}))


def _stands(root: Path, path: str, data: bytes) -> bool:
    """Whether a file is there with these bytes; raises AskedWrongly where another is."""
    file = _safe(root, path)
    if not os.path.lexists(file):
        return False
    if file.is_file() and not file.is_symlink() and file.read_bytes() == data:
        return True
    raise AskedWrongly(
        f"{path} is there already", "a name that is free", f"look at it, and move it away: {path}"
    )


def _refuse_taken(root: Path, folder: str) -> None:
    """A folder is free where nothing of its name is there in any capitals; an empty one is as good as free."""
    place = _safe(root, folder)
    if not place.parent.is_dir():
        return
    for other in place.parent.iterdir():
        if other.name.casefold() == place.name.casefold() and not _is_empty_folder(other, place.name):
            path = f"{folder.rpartition('/')[0]}/{other.name}"
            raise AskedWrongly(f"{path} is there already", "a label that is free", "take another label")


def _is_empty_folder(folder: Path, name: str) -> bool:
    plain = folder.name == name and folder.is_dir() and not folder.is_symlink()
    return plain and not any(folder.iterdir())


def _safe(root: Path, path: str) -> Path:
    """Where a path of the family lies, every folder on the way really inside it."""
    assert is_inside(path), path
    file = root / path
    if not file.parent.resolve().is_relative_to(root):
        raise AskedWrongly(
            f"{path} leads out of the family", "a path inside it", "remove the link on the way"
        )
    return file


def _write_file(root: Path, path: str, data: bytes) -> None:
    file = _safe(root, path)
    make_folder(root, file.parent)
    _sweep(file.parent)
    beside = file.with_name(f".{file.name}{UNFINISHED}")
    _write_durably(beside, data)
    beside.rename(file)
    make_durable(file.parent)


def _write_folder(root: Path, folder: str, files: Mapping[str, bytes]) -> None:
    place = _safe(root, folder)
    make_folder(root, place.parent)
    _sweep(place.parent)
    beside = place.with_name(f".{place.name}{UNFINISHED}")
    beside.mkdir()
    for path, data in files.items():
        name = path.removeprefix(f"{folder}/")
        assert "/" not in name, path
        _write_durably(beside / name, data)
    make_durable(beside)
    beside.rename(place)
    make_durable(place.parent)


def _sweep(folder: Path) -> None:
    """Take away what a writer left unfinished; no other writer is at work, the lock says so."""
    for left in folder.glob(f".*{UNFINISHED}"):
        if left.is_dir() and not left.is_symlink():
            shutil.rmtree(left)
        else:
            left.unlink()


def _write_durably(file: Path, data: bytes) -> None:
    handle = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
    with os.fdopen(handle, "wb") as opened:
        opened.write(data)
        opened.flush()
        os.fsync(opened.fileno())


def make_folder(root: Path, folder: Path) -> None:
    """Make a folder and those above it, durably."""
    if folder.is_dir():
        return
    assert folder != root, folder
    make_folder(root, folder.parent)
    folder.mkdir()
    make_durable(folder.parent)


def make_durable(folder: Path) -> None:
    """See that the names in a folder outlast a loss of power."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    except OSError:  # a file system that does not do this for folders
        pass
    finally:
        os.close(handle)


def _unwritable(error: OSError) -> NotNow:
    where = f" {error.filename}" if error.filename else ""
    return NotNow(f"cannot write{where}: {error.strerror}", mend="see to the disk, and do the same again")
