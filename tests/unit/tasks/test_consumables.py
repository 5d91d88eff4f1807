"""What mending eats: screws by type, what is put on them, what joins things that are not screwed."""

from lineage.tasks.judging import Judge
from lineage.tasks.packing import Packer
from tests.in_memory import InMemory

POD = """\
module: pod
parts: {motor: {mass: 41 g}, lead: {mass: 2 g, joined: soldered to the tabs}}
fasteners: {motor-screws: {type: M2x6 cap, count: 2, holds: motor, threadlock: medium}}
"""
WREN = """\
robot: wren
parts: {lid: {mass: 20 g, joined: bolted}, box: {mass: 9 g, joined: Glued}}
modules: {left: pod@A, right: pod@A}
fasteners:
  lid-screws: {type: M3x8 button, count: 6, holds: lid}
  box-screws: {type: M3x8  Button, count: 1, holds: box}
"""


def eaten(*used: str):
    made = InMemory()
    made.record("pod", "A", "2025-01-01", POD)
    made.record("wren", "A", "2025-01-02", WREN)
    lines = [
        f"- {{robot: wren, bout: {n}, build: A, outcome: won, broke: [{{at: lid, mode: bent, used: {{{ref}}}}}]}}\n"
        for n, ref in enumerate(used)
    ]
    made.write({"bouts/2025-01-03-meet.yaml": "".join(lines)})
    return {found.what: found for found in Packer(Judge(made.workspace())).box("wren", 5).consumables}


def test_screws_are_summed_by_type_over_groups_and_places():
    found = eaten()
    assert (found["M3x8 button"].in_it, found["M3x8 button"].at) == (7, ("lid-screws", "box-screws"))
    assert (found["M2x6 cap"].in_it, found["M2x6 cap"].at) == (4, ("pod.motor-screws",))


def test_what_the_log_says_was_used_is_counted_and_comes_first():
    found = eaten("left.motor-screws: 1", "right.motor-screws: 2")
    assert (found["M2x6 cap"].used, found["M3x8 button"].used) == (3, 0)
    assert next(iter(found)) == "M2x6 cap"


def test_threadlock_glue_tape_and_solder_are_listed_and_what_is_bolted_is_not():
    found = eaten()
    assert {what for what, view in found.items() if view.in_it is None} == {
        "threadlock, medium", "Glued", "soldered to the tabs",
    }  # fmt: skip
    assert found["soldered to the tabs"].at == ("pod.lead",)
