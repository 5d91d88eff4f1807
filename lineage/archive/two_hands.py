"""Work shared out between this process and one forked from it, where there are two processors to do it."""

import gc
import os
import threading
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import BinaryIO, TypeVar

Block = TypeVar("Block")
_THREADS = "OPENBLAS_NUM_THREADS"  # read once, by numpy, which the readers of drawings load
_SIZE = 8  # bytes that say how long a result is
_TICKET = 4
_MOST_TICKETS = 4096  # so that all of them fit into a pipe that nobody reads yet


def by_two(blocks: Sequence[Block], work: Callable[[Block], Iterable[bytes]]) -> Iterator[bytes]:
    """The results of all blocks of work, as they come, in no order; each has at least one byte.

    Each block is worked through by whoever of the two is free. What the other one could not do, because it failed or
    was killed, is done here again, so that an error is raised where it is seen.
    """
    if not 2 <= len(blocks) <= _MOST_TICKETS or not _may_fork():
        for block in blocks:
            yield from work(block)
        return
    with TemporaryDirectory(prefix="lineage-") as folder:
        yield from _shared_out(blocks, work, Path(folder, "results"))


@contextmanager
def with_one_thread() -> Iterator[None]:
    """Arithmetic libraries that are loaded within start no threads, so that work can be shared out after it."""
    before = os.environ.get(_THREADS)
    os.environ.setdefault(_THREADS, "1")
    try:
        yield
    finally:
        if before is None:
            del os.environ[_THREADS]


def _may_fork() -> bool:
    """Whether there is a second processor, and nothing else goes on in this process that a fork would cut in two."""
    if not hasattr(os, "sched_getaffinity") or len(os.sched_getaffinity(0)) < 2:
        return False
    tasks = Path("/proc/self/task")
    return threading.active_count() == 1 and tasks.is_dir() and len(list(tasks.iterdir())) == 1


def _shared_out(
    blocks: Sequence[Block], work: Callable[[Block], Iterable[bytes]], place: Path
) -> Iterator[bytes]:
    tickets = _tickets(len(blocks))
    with place.open("wb", buffering=0) as theirs, place.open("rb") as seen:
        gc.freeze()  # what both have in common stays in one place: a collection would write to all of it
        other = os.fork()
        if not other:
            _as_the_other(blocks, work, tickets, theirs)
        left = set(range(len(blocks)))
        try:
            for mine in _drawn(tickets):
                for result in work(blocks[mine]):
                    yield result
                    yield from _finished(seen, left)
                left.discard(mine)
            os.waitpid(other, 0)
            other = 0
            yield from _finished(seen, left)
        finally:
            os.close(tickets)
            gc.unfreeze()
            if other:
                os.kill(other, 9)
                os.waitpid(other, 0)
    for block in sorted(left):
        yield from work(blocks[block])


def _tickets(count: int) -> int:
    """The end of a pipe from which each number can be drawn once, by whoever comes first."""
    end, start = os.pipe()
    for number in range(count):
        os.write(start, number.to_bytes(_TICKET))
    os.close(start)
    return end


def _drawn(tickets: int) -> Iterator[int]:
    while ticket := os.read(tickets, _TICKET):
        yield int.from_bytes(ticket)


def _as_the_other(
    blocks: Sequence[Block], work: Callable[[Block], Iterable[bytes]], tickets: int, theirs: BinaryIO
) -> None:
    """Works for the one that waits, block by block, and goes without a word whatever happens."""
    try:
        for number in _drawn(tickets):
            results = list(work(blocks[number]))
            theirs.write(b"".join(_framed(result) for result in (number.to_bytes(_TICKET), *results, b"")))
    finally:
        os._exit(0)


def _framed(result: bytes) -> bytes:
    return len(result).to_bytes(_SIZE) + result


def _finished(seen: BinaryIO, left: set[int]) -> Iterator[bytes]:
    """Results of the blocks that the other one has finished since."""
    while (block := _whole_block(seen)) is not None:
        left.discard(int.from_bytes(block[0]))
        yield from block[1:]


def _whole_block(seen: BinaryIO) -> list[bytes] | None:
    """A block's number and its results; None where it is not all there yet."""
    begins = seen.tell()
    found: list[bytes] = []
    while True:
        size = seen.read(_SIZE)
        result = seen.read(int.from_bytes(size)) if len(size) == _SIZE else b""
        if len(size) < _SIZE or len(result) < int.from_bytes(size):
            seen.seek(begins)
            return None
        if not result:
            return found
        found.append(result)
