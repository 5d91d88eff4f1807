"""Things read before, kept by content id: may be lost or thrown away at any time, and is never missed."""

import os
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from typing import Final

from lineage.version import __version__

VARIABLE: Final = "ROBOT_LINEAGE_CACHE"  # a folder, or `off`
_LONGEST: Final = 16 * 1024 * 1024


class Cache:
    """Bytes by kind and key, in the user's own folder; `folder` None keeps nothing."""

    def __init__(self, folder: Path | None) -> None:
        self.folder = folder

    def get(self, kind: str, key: str) -> bytes | None:
        """What was put there; None where it is not, or is not whole."""
        if self.folder is None:
            return None
        try:
            sealed = self._file(kind, key).read_bytes()
        except OSError:
            return None
        seal, data = sealed[:32], sealed[32:]
        return data if sha256(data).digest() == seal else None

    def put(self, kind: str, key: str, data: bytes) -> None:
        """Keep bytes, if that can be done."""
        if self.folder is None or len(data) > _LONGEST:
            return
        file = self._file(kind, key)
        beside = file.with_name(f"{file.name}.{os.getpid()}")
        try:
            file.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            beside.write_bytes(sha256(data).digest() + data)
            beside.replace(file)
        except OSError:
            with suppress(OSError):
                beside.unlink(missing_ok=True)

    def _file(self, kind: str, key: str) -> Path:
        assert self.folder is not None
        name = sha256(key.encode()).hexdigest()
        return self.folder / kind / name[:2] / name


def open_cache(edition: str = __version__) -> Cache:
    """The cache of this edition: under $ROBOT_LINEAGE_CACHE, $XDG_CACHE_HOME or ~/.cache."""
    moved = os.environ.get(VARIABLE)
    if moved == "off":
        return Cache(None)
    if moved:
        return Cache(Path(moved) / edition)
    given = os.environ.get("XDG_CACHE_HOME", "")
    home = os.environ.get("HOME", "")
    places = (Path(given), Path(home, ".cache") if home else Path())
    above = next((place for place in places if place.is_absolute()), None)
    return Cache(above and above / "robot-lineage" / edition)


def get(kind: str, key: str) -> bytes | None:
    """What the cache of this edition has."""
    return open_cache().get(kind, key)


def put(kind: str, key: str, data: bytes) -> None:
    """Keep bytes in the cache of this edition."""
    open_cache().put(kind, key, data)
