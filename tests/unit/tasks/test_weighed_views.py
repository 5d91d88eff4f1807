"""Weighings of some of a build, as its card shows them."""

import pytest

from lineage.tasks.card_more import weighed_views
from tests.in_memory import InMemory

WREN = "robot: wren\nparts: {lid: {mass: 20 g ± 1 g}, bar: {mass: 50 g ± 1 g, joined: glued}, cell: {mass: 92 g ± 1 g}}\n"


def shown(entry: str):
    made = InMemory({"results/wren.yaml": f"- {{on: 2025-01-02, kind: mass, build: A, {entry}}}\n"})
    made.record("wren", "A", "2025-01-01", WREN)
    (view,) = weighed_views(made.state("wren@A"))
    return view


def test_what_was_weighed_together_has_its_difference_and_what_may_explain_it():
    view = shown("of: [lid, bar], is: 75 g ± 0.2 g")
    assert view.of == ("lid", "bar")
    assert view.difference_g.value == pytest.approx(5)
    assert view.normalised_error == pytest.approx(5 / (0.2**2 + 1 + 1) ** 0.5)
    assert [suspect.what for suspect in view.suspects] == ["glue and tape", *["listed or modelled mass"] * 2]


@pytest.mark.parametrize("entry, of", [('of: "lid,bar"', ("lid,bar",)), ("of: [lid, tail]", ("lid", "tail")), ("except: [tail]", ("all but tail",))])  # fmt: skip
def test_a_weighing_of_what_nobody_knows_is_compared_with_nothing(entry, of):
    view = shown(f"{entry}, is: 75 g")
    assert view.of == of
    assert (view.predicted_g, view.difference_g, view.normalised_error) == (None, None, None)
    assert view.measured_g.value == 75


def test_all_but_some_is_compared_with_the_rest():
    view = shown("except: [cell], is: 70 g ± 0.2 g")
    assert view.of == ("lid", "bar")
    assert view.difference_g.value == pytest.approx(0)
    assert view.suspects == ()
