"""A folder of pages that can be made anew at any time, and a list in it of what each page was made from."""

import json
import os
from collections.abc import Iterable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Final

import msgspec
from msgspec import Struct

from lineage.archive.ids import content_id
from lineage.problems import AskedWrongly

LIST: Final = "pages.json"
LIST_FORMAT: Final = 1


class Kept(Struct, frozen=True, kw_only=True):
    """One page: what it was made from, what it is, and what is found in it."""

    inputs: str
    id: str
    found: str = ""


class PageList(Struct, frozen=True, kw_only=True):
    """All pages of a folder; `whole` is what the whole was made from."""

    format: int
    whole: str = ""
    pages: Mapping[str, Kept] = {}


class SiteFolder:
    """Writes pages whole, only where they differ, and takes away those that it wrote once and are no more."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.listed = self._read_list()

    def _read_list(self) -> PageList:
        """The list; an empty one where it is missing or of another format. A folder of others is refused."""
        try:
            data = (self.folder / LIST).read_bytes()
        except FileNotFoundError:
            self._refuse_others()
            return PageList(format=LIST_FORMAT)
        except OSError as error:
            raise AskedWrongly(f"{self.folder} cannot be used: {error.strerror}", "a folder") from error
        try:
            listed = msgspec.json.decode(data, type=PageList)
        except (msgspec.DecodeError, msgspec.ValidationError) as error:
            raise AskedWrongly(
                f"{self.folder / LIST} is not a list of pages",
                "a new or empty folder, or one that pages were written to before",
                "name another folder",
            ) from error
        return listed if listed.format == LIST_FORMAT else PageList(format=LIST_FORMAT, pages=listed.pages)

    def _refuse_others(self) -> None:
        if self.folder.exists() and (not self.folder.is_dir() or any(self.folder.iterdir())):
            raise AskedWrongly(
                f"{self.folder} holds other things",
                "a new or empty folder, or one that pages were written to before",
                "name another folder",
            )

    def is_as_listed(self, name: str) -> bool:
        """Whether a page is there just as it was written."""
        kept = self.listed.pages.get(name)
        data = self.read(name) if kept is not None else None
        return kept is not None and data is not None and content_id(data) == kept.id

    def read(self, name: str) -> bytes | None:
        """The bytes of a page; None where it is not there."""
        file = self.folder / name
        try:
            return None if file.is_symlink() else file.read_bytes()
        except OSError:
            return None

    def write(self, pages: Mapping[str, bytes], listed: PageList) -> tuple[str, ...]:
        """Writes what differs, removes what is no longer listed; the names of pages written."""
        written = tuple(name for name, data in pages.items() if self.read(name) != data)
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            for name in written:
                self._replace(name, pages[name])
            self._remove(set(self.listed.pages) - set(listed.pages))
            text = json.dumps(msgspec.to_builtins(listed), ensure_ascii=False, indent=0, sort_keys=True)
            if self.read(LIST) != text.encode():
                self._replace(LIST, text.encode())
        except OSError as error:
            raise AskedWrongly(
                f"{self.folder} cannot be written to: {error.strerror}", "a folder of your own"
            ) from error
        self.listed = listed
        return written

    def _replace(self, name: str, data: bytes) -> None:
        beside = self.folder / f".{name}.{os.getpid()}.partial"
        try:
            beside.write_bytes(data)
            beside.replace(self.folder / name)
        except OSError:
            beside.unlink(missing_ok=True)
            raise

    def _remove(self, names: Iterable[str]) -> None:
        """Only plain names: the list lies in a folder that others may have written to."""
        for name in names:
            if name == Path(name).name and name.endswith(".html"):
                with suppress(FileNotFoundError):
                    (self.folder / name).unlink()
