"""Two builds of two hundred parts are compared before a page could be drawn."""

from statistics import median
from time import perf_counter

import pytest

from lineage.tasks.amounts import Amounts
from lineage.tasks.differing import step_between
from lineage.tasks.pairs import pair
from lineage.tasks.states import State
from tests.in_memory import InMemory

PLATES, BOUGHT, GROUPS = 100, 80, 20


def text(turn: int) -> str:
    """A robot of two hundred things; every fifth plate, tenth bought part and fourth group differs by turn."""
    lines = ["robot: wren", "class: 3lb", "parts:"]
    for n in range(PLATES):
        area = 10 + n + (turn if n % 5 == 0 else 0)
        behind = f", behind: part-{n % BOUGHT}" if n % 7 == 0 else ""
        lines.append(
            f"  plate-{n}: {{role: chassis, stock: pc-3, area: {area} cm2, dims: {{high: 12 mm ± 0.1 mm}}{behind}}}"
        )
    for n in range(BOUGHT):
        mass = 5 + n + (turn if n % 10 == 0 else 0)
        lines.append(f"  part-{n}: {{role: drive, mass: {mass} g, size: 20 x 10 x 8 mm ± 0.2 mm}}")
    lines.append("fasteners:")
    for n in range(GROUPS):
        count = 4 + (turn if n % 4 == 0 else 0)
        lines.append(
            f"  screws-{n}: {{type: M3x10 cap, count: {count}, holds: [plate-{n}, part-{n}], into: plate-{n + 20}, grip: 3 mm}}"
        )
    lines.append("fits:")
    lines += [
        f"  gap-{n}: {{need: at least 1 mm, chain: [plate-{n}.high, -part-{n}.height]}}" for n in range(10)
    ]
    return "\n".join(lines) + "\n"


@pytest.fixture(scope="module")
def states():
    family = InMemory()
    family.record("wren", "A", "2025-01-01", text(0))
    family.record("wren", "B", "2025-02-01", text(1))
    workspace = family.workspace()
    found = [family.state(f"wren@{label}", workspace) for label in "AB"]
    assert all(len(state.assembly.things) == PLATES + BOUGHT + GROUPS for state in found)
    return found


def milliseconds(work):
    times = []
    for _ in range(9):
        start = perf_counter()
        work()
        times.append((perf_counter() - start) * 1000)
    return median(times)


def anew(states):
    """The two states with nothing worked out of them."""
    amounts = Amounts(states[0].workspace)
    return [State(amounts, state.ref) for state in states]


def test_two_builds_of_two_hundred_parts_are_compared_in_thirty_milliseconds(states):
    step = step_between(*states)
    assert len(step.changes) == PLATES // 5 + BOUGHT // 10 + GROUPS // 4
    told = milliseconds(lambda: step_between(*states))
    print(f"\ncompared, figures of both known: {told:.1f} ms")
    assert told < 30


def test_with_evidence_work_list_and_the_figures_of_both_worked_out_anew_it_is_under_sixty(states):
    pair(*anew(states))
    told = milliseconds(lambda: pair(*anew(states)))
    print(f"\ncompared with evidence and work list, figures worked out anew: {told:.1f} ms")
    assert told < 60
