"""One writer at a time in a family, by a lock on its folder that ends with its process."""

import fcntl
import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from lineage.problems import NotNow

_PATIENCE: Final = 10.0  # seconds
_PAUSE: Final = 0.02


@contextmanager
def only_writer(root: Path) -> Iterator[None]:
    """Be the only one who writes into a family; raises NotNow where another does so for long."""
    folder = os.open(root, os.O_RDONLY | os.O_DIRECTORY)
    try:
        _lock(folder)
        yield
    finally:
        os.close(folder)


def _lock(folder: int) -> None:
    deadline = time.monotonic() + _PATIENCE
    while True:
        try:
            fcntl.flock(folder, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            if time.monotonic() > deadline:
                what = "another program is writing into this family"
                raise NotNow(what, mend="try again when it is done") from None
            time.sleep(_PAUSE)
        except OSError:  # a file system that knows no locks
            return
        else:
            return
