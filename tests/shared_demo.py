"""What `lineage demo` makes, replayed once however many workers want it: the first makes it, the others wait."""

import time
from pathlib import Path

from tests.program import installed


def shared_demo(shared: Path) -> Path:
    """The sample family in a folder that all workers of one run have in common; only to be read."""
    place, ready = shared / "waders", shared / "waders-answer"
    failed = shared / "waders-failed"
    try:
        (shared / "waders-begun").mkdir()
    except FileExistsError:
        for _ in range(1200):
            if ready.exists():
                return place
            assert not failed.exists(), "another worker could not make it, and says why"
            time.sleep(0.1)
        raise AssertionError("another worker did not finish `lineage demo` within two minutes") from None
    answer = installed(shared, "demo", "waders", env={"ROBOT_LINEAGE_CACHE": str(shared / "cache")})
    if answer.status != 0:
        failed.touch()
    assert answer.status == 0, answer.err
    beside = shared / "waders-answer-begun"
    beside.write_text(answer.out)
    beside.rename(ready)
    return place
