"""Pages that wait to be written, on disk: those of a large family would fill a small machine's memory."""

from collections.abc import Iterator, Mapping
from contextlib import AbstractContextManager
from tempfile import TemporaryFile
from types import TracebackType


class Spool(Mapping[str, bytes], AbstractContextManager["Spool"]):
    """Bytes by name, in a file without a name that is gone when the spool is closed."""

    def __init__(self) -> None:
        self._file = TemporaryFile()  # noqa: SIM115 - closed with the spool
        self._places: dict[str, tuple[int, int]] = {}
        self._end = 0

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._file.close()

    def put(self, name: str, data: bytes) -> None:
        """Lays bytes down under a name."""
        self._file.seek(self._end)
        self._file.write(data)
        self._places[name] = (self._end, len(data))
        self._end += len(data)

    def __getitem__(self, name: str) -> bytes:
        start, length = self._places[name]
        self._file.seek(start)
        return self._file.read(length)

    def __iter__(self) -> Iterator[str]:
        return iter(self._places)

    def __len__(self) -> int:
        return len(self._places)
