"""The guide's command lines and files, in the order in which a reader meets them."""

import shlex
from collections.abc import Iterator
from pathlib import Path

from msgspec import Struct

from lineage.tasks.guide import topic


class Meant(Struct, frozen=True):
    """A file to be written, or a command line to be run."""

    file: str = ""
    text: str = ""
    words: tuple[str, ...] = ()


def meant(name: str) -> Iterator[Meant]:
    """Everything of one topic that is to be done."""
    for chapter in topic(name).chapters:
        for block in chapter.blocks:
            if block.kind == "code" and block.file:
                yield Meant(file=block.file, text=block.text + "\n")
            elif block.kind == "code" and block.language == "sh":
                for line in block.text.splitlines():
                    yield Meant(text=line, words=tuple(shlex.split(line)))


def put(folder: Path, one: Meant) -> None:
    """Writes a file of the guide."""
    (folder / one.file).write_text(one.text, encoding="utf-8")
