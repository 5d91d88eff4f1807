"""Files of a family as records, each content read once by whoever asks first: what was read is kept by content id.

Only files without a problem are kept, so that problems always come from the reader itself. The readers, and YAML
with them, are loaded only for contents that nobody read before.
"""

from collections.abc import Callable
from functools import cached_property
from pathlib import Path
from typing import Any, Generic, Literal, TypeVar

import msgspec

from lineage import spec, values
from lineage.archive.cache import Cache, open_cache
from lineage.archive.ids import content_id
from lineage.problems import BadInput, Problem
from lineage.spec.records import (
    BenchReading,
    Bout,
    BuildRecord,
    Design,
    Event,
    Family,
    GapReading,
    Lesson,
    Read,
    Result,
    ServiceReading,
    Snag,
    Trial,
    Weighing,
)
from lineage.version import __version__

R = TypeVar("R")
Kind = Literal["robot", "module"]
_encode = msgspec.msgpack.Encoder().encode


class Line(msgspec.Struct, frozen=True, array_like=True):
    """An entry as kept: which of the types of a log it is, and its record."""

    type: int
    record: msgspec.Raw


class Entries(msgspec.Struct, Generic[R], frozen=True):
    """The entries of a log that count, and what is wrong with those that are not among them."""

    entries: tuple[R, ...]
    problems: tuple[Problem, ...] = ()


_RESULTS: tuple[type[Result], ...] = (
    Weighing,
    GapReading,
    ServiceReading,
    BenchReading,
    Trial,
    Snag,
    Result,
)


class Reader:
    """Reads files; one per workspace."""

    def __init__(self, cache: Cache | None = None) -> None:
        self.cache = open_cache() if cache is None else cache

    @cached_property
    def _edition(self) -> str:
        """Which readers these are: what another edition of them read is not believed."""
        files = [
            file for room in (spec, values) for place in room.__path__ for file in Path(place).glob("*.py")
        ]
        latest = max((file.stat().st_mtime_ns for file in files), default=0)
        return f"{__version__} {latest}"

    def family(self, data: bytes, file: str) -> Family:
        """family.yaml."""

        def read() -> Any:
            from lineage.spec.family_file import read_family  # noqa: PLC0415

            return read_family(data, file)

        return self._record("family", Family, data, file, read)

    def design(
        self, data: bytes, file: str, kind: Kind, name: str
    ) -> tuple[Design | None, tuple[Problem, ...]]:
        """A spec as far as it can be read, with what is wrong in it."""
        key = self._key(data, f"{file} {kind} {name}")
        kept = self._get("design", key, Design)
        if kept is not None:
            return kept, ()
        from lineage.spec.design_file import read_design  # noqa: PLC0415

        read = read_design(data, file, kind, name)
        if read.record is not None and not read.problems:
            self.cache.put("design", key, _encode(read.record))
        return read.record, read.problems

    def build(self, data: bytes, file: str) -> Any:
        """build.yaml, as whoever reads build folders wants it."""
        key = self._key(data, file)
        kept = self._get("build", key, BuildRecord)
        if kept is not None:
            return Read(kept)
        from lineage.spec.build_file import read_build  # noqa: PLC0415

        read = read_build(data, file)
        if read.record is not None and not read.problems:
            self.cache.put("build", key, _encode(read.record))
        return read

    def event(self, data: bytes, file: str, name: str) -> Event:
        """events/EVENT.yaml."""

        def read() -> Any:
            from lineage.spec.event_file import read_event  # noqa: PLC0415

            return read_event(data, file, name)

        return self._record("event", Event, data, file, read)

    def lesson(self, data: bytes, file: str, name: str) -> Lesson:
        """lessons/NAME.yaml."""

        def read() -> Any:
            from lineage.spec.lesson_file import read_lesson  # noqa: PLC0415

            return read_lesson(data, file, name)

        return self._record("lesson", Lesson, data, file, read)

    def bouts(self, data: bytes, file: str, event: str) -> Entries[Bout]:
        """The bouts of a log that count, and what is wrong with entries that nobody can read."""

        def read() -> Entries[Bout]:
            from lineage.spec.bout_file import counted_bouts, read_bouts  # noqa: PLC0415

            log = read_bouts(data, file, event)
            return Entries(counted_bouts(log.entries).entries, log.problems)

        return self._log("bouts", (Bout,), data, file, read)

    def results(self, data: bytes, file: str, design: str) -> Entries[Result]:
        """The results of a log that count, and what is wrong with entries that nobody can read."""

        def read() -> Entries[Result]:
            from lineage.spec.log import corrected  # noqa: PLC0415
            from lineage.spec.result_file import read_results  # noqa: PLC0415

            log = read_results(data, file, design)
            return Entries(corrected(log.entries).entries, log.problems)

        return self._log("results", _RESULTS, data, file, read)

    # --- what they share ---------------------------------------------------------------------------------

    def _key(self, data: bytes, about: str) -> str:
        return f"{content_id(data)} {self._edition} {about}"

    def _get(self, kind: str, key: str, record: type[R]) -> R | None:
        kept = self.cache.get(kind, key)
        if kept is None:
            return None
        try:
            return msgspec.msgpack.decode(kept, type=record)
        except (msgspec.DecodeError, msgspec.ValidationError):
            return None

    def _record(self, kind: str, record: type[R], data: bytes, file: str, read: Callable[[], Any]) -> R:
        key = self._key(data, file)
        kept = self._get(kind, key, record)
        if kept is not None:
            return kept
        found = read()
        if found.record is None:
            raise BadInput(found.problems)
        if not found.problems:
            self.cache.put(kind, key, _encode(found.record))
        made: R = found.record
        return made

    def _log(
        self,
        kind: str,
        types: tuple[type[R], ...],
        data: bytes,
        file: str,
        read: Callable[[], Entries[R]],
    ) -> Entries[R]:
        if not data:
            return Entries(())
        key = self._key(data, file)
        lines = self._get(kind, key, tuple[Line, ...])
        if lines is not None:
            decode = msgspec.msgpack.decode
            return Entries(tuple(decode(line.record, type=types[line.type]) for line in lines))
        log = read()
        if not log.problems:
            kept = [Line(types.index(type(entry)), msgspec.Raw(_encode(entry))) for entry in log.entries]
            self.cache.put(kind, key, _encode(kept))
        return log
