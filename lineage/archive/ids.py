"""Content ids: what a file, a build or an appended line is known by."""

from collections.abc import Mapping
from hashlib import new as new_digest
from hashlib import sha1
from typing import BinaryIO, Final

from lineage.spec.entry_ids import entry_id

__all__ = ["build_id", "content_id", "content_id_of", "entry_id"]

_PIECE: Final = 1024 * 1024


def content_id(data: bytes) -> str:
    """The id that git gives a blob of these bytes, in any repository."""
    return sha1(b"blob %d\0%b" % (len(data), data), usedforsecurity=False).hexdigest()


def content_id_of(opened: BinaryIO, size: int, digest_name: str = "sha1") -> str:
    """The same for a file of `size` bytes, however long, a piece at a time."""
    digest = new_digest(digest_name, b"blob %d\0" % size, usedforsecurity=False)
    while piece := opened.read(_PIECE):
        digest.update(piece)
    return digest.hexdigest()


def build_id(files: Mapping[str, str], uses: Mapping[str, str]) -> str:
    """SHA-1 of the lines `KEY SP ID LF` of the files and the module builds of a build, sorted by bytes."""
    lines = sorted(f"{key} {id_}\n".encode() for key, id_ in (*files.items(), *uses.items()))
    return sha1(b"".join(lines), usedforsecurity=False).hexdigest()
