"""A robot's box: what bouts took since each thing last changed, what always travels, and what is known of neither."""

from lineage.tasks.judging import Judge
from lineage.tasks.packing import Packer
from tests.in_memory import InMemory

TEXT = """\
robot: wren
packing: [tape, {zip ties: 20}]
parts:
  lid: {mass: 20 g}
  belt: {mass: 5 g, carry: 2, rework: [leads cut]}
  motor: {mass: 41 g, item: 22 mm motor, count: 2}
  arm: {mass: 9 g}
"""


def family(renames: dict[str, str] | None = None) -> InMemory:
    made = InMemory()
    made.record("wren", "A", "2025-01-01", TEXT)
    after = TEXT.replace("lid: {mass: 20 g}", "lid: {mass: 25 g}")
    for old, new in (renames or {}).items():
        after = after.replace(f"{old}:", f"{new}:")
    made.record("wren", "B", "2025-02-01", after, renames=renames)
    first = [
        "{at: lid, mode: bent}",
        "{at: arm, mode: bent}",
        "{at: motor, mode: burnt, used: {motor: 2}}",
        "{at: weel, mode: lost}",
    ]
    lines = [
        f"- {{robot: wren, bout: {n}, build: A, outcome: won, broke: [{broke}]}}\n"
        for n, broke in enumerate(first)
    ]
    made.write({
        "bouts/2025-01-02-meet.yaml": "".join(lines),
        "bouts/2025-02-02-meet.yaml": "- {robot: wren, bout: 1, build: B, outcome: won}\n",
    })  # fmt: skip
    return made


def box(made: InMemory, bouts: int = 10):
    packed = Packer(Judge(made.workspace())).box("wren", bouts)
    return packed, {pack.item: pack for pack in packed.packing}


def own(made: InMemory, item: str) -> tuple[int, float]:
    from lineage.evidence.spares import items_of

    judge = Judge(made.workspace())
    last = judge.workspace.last("wren")
    found = Packer(judge)._own("wren", last, items_of(judge.workspace.assembly(last))[item])
    return found.pieces, found.bouts


def test_demand_and_exposure_begin_when_the_thing_last_changed():
    assert own(family(), "wren.lid") == (0, 1)
    assert own(family(), "wren.arm") == (1, 5)
    assert own(family(), "22 mm motor") == (2, 5)


def test_another_name_alone_keeps_what_was_used_under_the_old_one():
    assert own(family({"arm": "boom"}), "wren.boom") == (1, 5)


def test_the_box_holds_what_is_used_what_is_carried_and_what_always_travels():
    packed, by_item = box(family())
    assert by_item["22 mm motor"].quantity > 0
    assert (by_item["wren.belt"].always, by_item["wren.belt"].rework) == (True, ("leads cut",))
    assert by_item["wren.belt"].quantity >= 2
    assert (by_item["tape"].quantity, by_item["zip ties"].quantity, by_item["tape"].always) == (1, 20, True)
    assert 0 < packed.chance_box_short < 1
    assert "4 pieces over the family" in packed.basis


def test_more_bouts_never_want_fewer_pieces():
    few, many = box(family(), 2)[1], box(family(), 40)[1]
    assert few["22 mm motor"].quantity <= many["22 mm motor"].quantity


def test_without_any_demand_in_the_family_quantities_are_not_known_and_carried_ones_stay():
    made = InMemory()
    made.record("wren", "A", "2025-01-01", TEXT)
    packed, by_item = box(made)
    assert list(by_item) == ["wren.belt", "tape", "zip ties"]
    assert (by_item["wren.belt"].quantity, packed.chance_box_short) == (2, None)


def test_a_robot_without_a_build_has_no_box_yet():
    made = InMemory({"robots/wren.yaml": TEXT})
    assert box(made)[0].basis == "no build yet"


def test_the_chance_to_run_short_is_that_of_what_is_packed():
    _, few = box(family(), bouts=2)
    assert few["wren.belt"].quantity == 2
    assert few["wren.belt"].chance_short < 0.01


def test_a_spare_needs_the_rework_of_every_place_that_it_may_go_to():
    made = InMemory()
    text = "robot: wren\nparts: {a: {mass: 1 g, item: bell, rework: [cut]}, b: {mass: 1 g, item: bell, carry: 3, rework: [cut, filed]}}\n"
    made.record("wren", "A", "2025-01-01", text)
    _, packed = box(made)
    assert (packed["bell"].rework, packed["bell"].quantity, packed["bell"].always) == (
        ("cut", "filed"),
        3,
        True,
    )
