"""What the same failures cost a bout before and after: shares of the bouts of both builds times their ways in."""

import pytest

from lineage.tasks.pairs import pair
from tests.in_memory import InMemory

WREN = """\
robot: wren
parts:
  deck: {mass: 10 g}
  battery: {mass: 90 g, behind: DECK}
  wheel: {mass: 10 g}
  blade: {mass: 10 g}
fasteners:
  DECK-screws: {type: M3x10 cap, count: COUNT, holds: DECK}
  blade-screws: {type: rivet of our own, count: 2, holds: blade, mass: 1 g}
"""


def spec(deck: str, count: int) -> str:
    return WREN.replace("  deck:", f"  {deck}:").replace("DECK", deck).replace("COUNT", str(count))


@pytest.fixture
def family() -> InMemory:
    waders = InMemory()
    waders.record("wren", "A", "2024-01-01", spec("deck", 8))
    waders.record(
        "wren", "B", "2024-06-01", spec("lid", 4), renames={"deck": "lid", "deck-screws": "lid-screws"}
    )
    return waders


def bouts(label: str, *broke: str) -> str:
    return "".join(
        f"- {{robot: wren, bout: {n}, build: {label}, outcome: won{', broke: [' + b + ']' if b else ''}}}\n"
        for n, b in enumerate(broke, 1)
    )


def test_the_same_failures_of_both_builds_are_held_against_both_ways_in(family):
    battery, deck, lid = ("{at: battery, mode: dented}", "{at: deck, mode: bent}", "{at: lid, mode: bent}")
    family.write({
        "bouts/2024-02-01-quay.yaml": bouts("A", f"{battery}, {deck}", "", battery, "{at: blade, mode: bent}"),
        "bouts/2024-07-01-pier.yaml": bouts("B", lid, "", "", ""),
    })  # fmt: skip
    workspace = family.workspace()
    found = pair(family.state("wren@A", workspace), family.state("wren@B", workspace)).serviceable
    # A screw takes 3 + 20 · 0.6 = 15 s, the tool 4 s, a part 3 s, everything twice: 8 screws and the deck 254 s,
    # with the battery 260 s; 4 screws and the lid 134 s, with the battery 140 s. Each failed in 2 of 8 bouts.
    assert found.bouts == 8
    assert found.before_s == pytest.approx((260 + 254) / 4)
    assert found.after_s == pytest.approx((140 + 134) / 4)
    assert found.items["lid"] == pytest.approx((254 / 4, 134 / 4))
    assert (found.dominant, found.left_out) == ("battery", ("blade",))


def test_without_a_failure_or_a_bout_nothing_is_judged(family):
    assert pair(family.state("wren@A"), family.state("wren@B")).serviceable is None
    family.write({"bouts/2024-02-01-quay.yaml": bouts("A", "", "{at: blade, mode: bent}")})
    assert pair(family.state("wren@A"), family.state("wren@B")).serviceable is None
