"""What the logs say does not hang on how they were written: order of lines, and which file of a day they are in."""

from functools import cache

from hypothesis import given, settings
from hypothesis import strategies as st

from lineage.evidence.bouts import tallied
from lineage.evidence.gamma_poisson import Demand
from lineage.evidence.verdicts import Judged
from lineage.tasks.judging import Judge
from lineage.tasks.packing import Packer
from tests.in_memory import InMemory

POD = "module: pod\nparts: {{gearbox: {{mass: {} g}}, motor: {{mass: 41 g}}}}\n"
PLACES = ("lid", "left.gearbox", "right.gearbox", "left", "weel")

damage = st.fixed_dictionaries({
    "at": st.sampled_from(PLACES),
    "mode": st.sampled_from(("bent", "stripped")),
    "severity": st.sampled_from(("cosmetic", "weakened", "disabling")),
})  # fmt: skip
entries = st.lists(
    st.tuples(st.sampled_from(("wren", "owl")), st.sampled_from("AB"), st.lists(damage, max_size=2)),
    min_size=1,
    max_size=12,
)


@cache
def builds() -> dict[str, bytes]:
    made = InMemory()
    for label, mass in (("A", 23), ("B", 25)):
        made.record("pod", label, "2025-01-01", POD.format(mass))
        for robot in ("wren", "owl"):
            text = f"robot: {robot}\nparts: {{lid: {{mass: {mass} g}}}}\nmodules: {{left: pod@{label}, right: pod@{label}}}\n"
            made.record(robot, label, {"A": "2025-01-05", "B": "2025-03-01"}[label], text)
    return made.tree.by_path


def lines(found) -> list[tuple[str, str]]:
    """(day, line) of every bout; numbers are typed, so that no line hangs on another."""
    made = []
    for number, (robot, build, broke) in enumerate(found, 1):
        told = ", ".join(
            "{" + ", ".join(f"{key}: {value}" for key, value in one.items()) + "}" for one in broke
        )
        day = {"A": "2025-01-06", "B": "2025-03-06"}[build]
        made.append(
            (day, f"- {{robot: {robot}, bout: {number}, build: {build}, outcome: won, broke: [{told}]}}\n")
        )
    return made


def answers(files: dict[str, list[str]]):
    """What a family with these bouts is told: verdicts of the module's step and the lid, what failed, what was used."""
    family = InMemory()
    family.tree.by_path = {
        **builds(),
        **{f"bouts/{name}.yaml": "".join(told).encode() for name, told in files.items()},
    }
    judge = Judge(family.workspace())
    found: dict[str, Judged | None] = {}
    for step in (*judge.steps.of("wren"), *judge.steps.of("pod")):
        for change in step.changes:
            evidence = judge.of_change(change, step)
            found[f"{step.design} {change.id}"] = None if evidence is None else evidence.judged
    failed = {
        robot: [(t.at, t.failures, t.listed) for t in tallied(bouts)]
        for robot, bouts in sorted(judge.bouts.items())
    }
    demand: Demand = Packer(judge).family
    return found, failed, (demand.pieces, demand.bouts)


@given(entries, st.randoms(use_true_random=False))
@settings(max_examples=30, deadline=None)
def test_the_order_of_lines_changes_nothing(found, random):
    by_day: dict[str, list[str]] = {}
    for day, line in lines(found):
        by_day.setdefault(f"{day}-meet", []).append(line)
    shuffled = {name: random.sample(told, len(told)) for name, told in by_day.items()}
    assert answers(by_day) == answers(shuffled)


@given(entries, st.lists(st.booleans(), min_size=12, max_size=12))
@settings(max_examples=30, deadline=None)
def test_splitting_an_event_in_two_changes_nothing(found, to_the_other):
    whole: dict[str, list[str]] = {}
    split: dict[str, list[str]] = {}
    for (day, line), other in zip(lines(found), to_the_other, strict=False):
        whole.setdefault(f"{day}-meet", []).append(line)
        split.setdefault(f"{day}-meet{'-too' if other else ''}", []).append(line)
    assert answers(whole) == answers(split)
