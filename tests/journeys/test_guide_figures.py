"""The honesty figures that the guide prints are those of the simulation, as near as fewer seasons can tell."""

import re
from itertools import product
from math import comb, sqrt

import pytest

from lineage.evidence.exact import Counts, Stratum
from lineage.evidence.verdicts import verdict_of_counts
from lineage.reports.prose import plain
from lineage.tasks.guide import topic
from tests.simulated_seasons import BETTER, change_after_a_bad_event, looking_after_every_event

SEASONS = 1_500


def tables() -> list[list[list[str]]]:
    """The tables of the topic, without their heads."""
    blocks = [
        block for chapter in topic("honesty").chapters for block in chapter.blocks if block.kind == "table"
    ]
    return [[[plain(cell) for cell in row] for row in block.rows[1:]] for block in blocks]


def shares(text: str) -> list[float]:
    """`6.0 (0.2)` → 0.06, 0.002; `10 % of bouts` → 0.1."""
    return [float(number) / 100 for number in re.findall(r"\d+(?:\.\d+)?", text)]


def near(printed: float, found: float) -> bool:
    """Within four standard deviations of so many seasons, and half the last digit printed."""
    spread = sqrt(max(printed, 0.001) * (1 - printed) / SEASONS)
    return abs(printed - found) <= 4 * spread + 0.0005


def some(found: dict, words: tuple[str, ...]) -> float:
    return sum(found.get(word, 0) for word in words)


@pytest.mark.parametrize("row", range(12))
def test_changed_because_an_event_went_badly(row: int) -> None:
    failures, fails, helped, better = tables()[0][row]
    bad, share = int(failures[0]), shares(fails)[0]
    prompted = change_after_a_bad_event(share, SEASONS, bad=bad)
    anyway = change_after_a_bad_event(share, SEASONS, bad=bad, prompted=False)
    for printed, words in ((helped, ("helped",)), (better, BETTER)):
        for shown, found in zip(shares(printed), (prompted, anyway), strict=True):
            assert near(shown, some(found, words)), (printed, words)


@pytest.mark.parametrize("row", range(4))
def test_looked_at_after_every_event(row: int) -> None:
    fails, *printed = tables()[1][row]
    found = looking_after_every_event(shares(fails)[0], SEASONS)
    assert len(found) == len(printed)
    for shown, pair in zip(printed, found.values(), strict=True):
        assert all(near(one, other) for one, other in zip(shares(shown), pair, strict=True)), shown


def chance_of(words: tuple[str, ...], bouts: int, before: float, after: float) -> float:
    """The chance of a verdict, over every outcome of so many bouts on either side."""
    found = 0.0
    for failed, still in product(range(bouts + 1), repeat=2):
        word = verdict_of_counts((Stratum(Counts(failed, bouts), Counts(still, bouts)),))
        if word in words:
            found += binomial(failed, bouts, before) * binomial(still, bouts, after)
    return found


def binomial(k: int, n: int, share: float) -> float:
    return comb(n, k) * share**k * (1 - share) ** (n - k)


@pytest.mark.parametrize("row", range(5))
def test_how_much_bouts_can_see(row: int) -> None:
    bouts, *printed = tables()[2][row]
    changes = ((0.5, 0.25), (0.5, 0.1), (0.5, 0.0), (0.3, 0.1), (0.3, 0.0))
    for shown, (before, after) in zip(printed, changes, strict=True):
        found = [chance_of(words, int(bouts), before, after) for words in (("helped",), BETTER)]
        assert shares(shown) == pytest.approx(found, abs=0.000501), (shown, before, after)


def test_the_tables_are_there_whole() -> None:
    assert [len(table) for table in tables()] == [12, 4, 5]
    assert len({tuple(row) for table in tables() for row in table}) == 21
