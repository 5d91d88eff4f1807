"""One more line at the end of results or bouts: every byte before stays."""

import os
from collections.abc import Callable
from pathlib import Path
from typing import BinaryIO

from msgspec import Struct

from lineage.archive.ids import entry_id
from lineage.archive.keep import make_durable, make_folder
from lineage.archive.locking import only_writer
from lineage.archive.tree import is_inside
from lineage.problems import AskedWrongly, NotNow


class Appended(Struct, frozen=True, kw_only=True):
    """What became of a line: its id and text, and its number where an equal one was there before.

    `existed_equal` says that such a line was there; without `again` nothing was `written` then.
    """

    id: str
    line: str
    no: int | None = None
    existed_equal: bool = False
    written: bool = True


LineFor = Callable[[int | None], str]
Check = Callable[[bytes], object]


def append_line(
    root: Path, path: str, line_for: LineFor, *, again: bool = False, check: Check | None = None
) -> Appended:
    """Append a line to a list of entries, making the file where there is none.

    `line_for` gives the line without a number, and for 2, 3 … with one: where `again` asks for a line that is
    there already, the first number that makes it a new one is taken. The line is read back before it counts:
    `check` gets the bytes of the line as they lie in the file, and raises where they do not say what was meant;
    then the file is put back as it was.
    """
    root = root.resolve()
    file = _place(root, path)
    with only_writer(root):
        before = file.read_bytes() if file.exists() else b""
        known = {line.removesuffix(b"\r") for line in before.split(b"\n")}
        line, no = _new_line(line_for, known, again=again)
        existed = line_for(None).encode() in known
        appended = Appended(
            id=entry_id(line), line=line.decode(), no=no, existed_equal=existed, written=line not in known
        )
        if appended.written:
            try:
                _append(root, file, before, line, check)
            except OSError as error:
                raise NotNow(
                    f"cannot write {path}: {error.strerror}", mend="see to the disk, do it again"
                ) from error
    return appended


def _place(root: Path, path: str) -> Path:
    assert is_inside(path), path
    file = (root / path).resolve()
    if not file.is_relative_to(root):
        raise AskedWrongly(
            f"{path} leads out of the family", "a path inside it", "remove the link on the way"
        )
    if file.exists() and not file.is_file():
        raise AskedWrongly(f"{path} is no file", "a file of entries", f"move it away: {path}")
    return file


def _new_line(line_for: LineFor, known: set[bytes], *, again: bool) -> tuple[bytes, int | None]:
    no: int | None = None
    line = _checked(line_for(no))
    while again and line in known:
        no = 2 if no is None else no + 1
        line = _checked(line_for(no))
    return line, no


def _checked(line: str) -> bytes:
    assert line.startswith("- "), line
    assert "\n" not in line, line
    assert "\r" not in line, line
    return line.encode()


def _append(root: Path, file: Path, before: bytes, line: bytes, check: Check | None) -> None:
    is_new = not file.exists()
    make_folder(root, file.parent)
    line_end = _line_end(before)
    gap = line_end if before and not before.endswith(b"\n") else b""
    with file.open("ab+") as opened:
        try:
            opened.write(gap + line + line_end)
            _flush(opened)
            _read_back(opened, before + gap, line + line_end)
            if check is not None:
                check(line)
        except BaseException:
            opened.truncate(len(before))
            _flush(opened)
            if is_new:
                file.unlink()
            raise
    if is_new:
        make_durable(file.parent)


def _line_end(before: bytes) -> bytes:
    """The line end that a file uses, by its last line that has one."""
    last = before.rfind(b"\n")
    return b"\r\n" if last > 0 and before[last - 1 : last] == b"\r" else b"\n"


def _flush(opened: BinaryIO) -> None:
    opened.flush()
    os.fsync(opened.fileno())


def _read_back(opened: BinaryIO, before: bytes, added: bytes) -> None:
    opened.seek(0)
    if opened.read() != before + added:
        raise NotNow(
            "the file changed while the line was written", mend="close the editor, and do the same again"
        )
