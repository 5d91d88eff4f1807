"""The changes of a large family are tallied while nobody notices: 40 designs, 2,000 builds, 10,000 robot-bouts."""

import gc
from time import process_time

from lineage.tasks.states import Asker
from lineage.tasks.tally import tally
from tests.big_family import big_family, opened, read


def test_a_family_of_two_thousand_builds_and_ten_thousand_bouts_is_tallied_in_two_seconds():
    """Its files read before; the best of three, as other programs run beside."""
    files, times = big_family(), []
    gc.freeze()  # what the test runner holds is no part of it
    for _ in range(3):
        workspace = read(opened(files))
        assert len(workspace.designs) == 40
        assert sum(len(workspace.labels(design)) for design in workspace.designs) == 2_000
        assert sum(len(workspace.bouts(event)) for event in workspace.bout_events) == 10_000
        began = process_time()
        found = list(tally(Asker(workspace)))
        times.append(process_time() - began)
        assert sum(kind.changes for kind in found) > 10_000
    assert min(times) < 2, times
