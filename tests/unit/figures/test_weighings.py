"""For which builds and places a weighing stands."""

from math import sqrt

import pytest

from lineage.figures.weighings import KnownWeighing, latest_whole, reading, standing_weighings
from lineage.spec.assembly import assemble
from lineage.spec.records import BuildRef, Choice, Scale, Use
from lineage.values.quantity import Accuracy
from tests.hand_built import module, option, robot
from tests.weighing_bench import bolts, build, lineup, piece, q, stock, weighing

POD_A = build(module("pod", parts={"motor": piece(mass="40 g"), "box": piece(mass="7 g")}), "A")
POD_B = build(module("pod", parts={"engine": piece(mass="40 g"), "box": piece(mass="9 g")}), "B")


def at(label):
    return Use(use=BuildRef("pod", label))


def put_together(design=None, label="A", choices=None, **keys):
    spec = build(design or robot(**keys), label)
    return assemble(spec, lineup(POD_A, POD_B), choices)


def known(assembly, *readings, **keys):
    entry = weighing(*readings, design=assembly.spec.ref.design, **keys)
    return KnownWeighing(weighing=entry, design=assembly.spec.ref.design, assembly=assembly)


def names_stay(design, then, now, ref):
    return ref


def standing(assembly, *entries, renamed=names_stay, **keys):
    found = standing_weighings(assembly, entries, renamed, {}, **keys)
    return {ref: mass.value for ref, mass in found.items()}


# --- what a reading says ---------------------------------------------------------------------------------

SCALES = {
    "bench": Scale(resolution=q("0.1 g"), accuracy=Accuracy(text="0.3 g", mass=0.3)),
    "event": Scale(accuracy=Accuracy(text="0.1 %", share=0.001)),
    "kitchen": Scale(resolution=q("1 g")),
    "bare": Scale(),
}


@pytest.mark.parametrize(
    "readings, scale, u",
    [
        (("100.0 g ± 0.4 g",), "bench", 0.2),
        (("100.0 g",), "bench", sqrt(0.01 / 12 + 0.09 / 3)),
        (("100.0 g",), "event", 0.1 / sqrt(3)),
        (("100.0 g",), "kitchen", 1 / sqrt(12)),
        (("100.0 g",), "bare", 0.1 / sqrt(12)),
        (("100.0 g",), None, 0.1 / sqrt(12)),
        (("100.0 g",), "nobody's", 0.1 / sqrt(12)),
        (("99.0 g ± 0.4 g", "101.0 g ± 0.4 g"), None, sqrt(0.04 + 2 / 2)),
    ],
)
def test_a_reading_has_its_typed_spread_else_its_scales_else_its_digits(readings, scale, u):
    found = reading(weighing(*readings, scale=scale), SCALES)
    assert found.value == pytest.approx(100)
    assert found.u == pytest.approx(u)


# --- where it stands -------------------------------------------------------------------------------------


def test_a_weighing_of_a_part_stands_for_earlier_and_later_builds_with_the_same_part():
    first = put_together(parts={"lid": piece(mass="30 g")}, label="A")
    second = put_together(parts={"lid": piece(mass="30 g", role="armour")}, label="B")
    third = put_together(parts={"lid": piece(mass="31 g")}, label="C")
    entry = known(second, "33 g", of=("lid",))
    assert standing(first, entry) == {"lid": 33}
    assert standing(second, entry) == {"lid": 33}
    assert standing(third, entry) == {}


def test_a_renamed_part_keeps_its_weighing():
    before = put_together(parts={"lid": piece(mass="30 g")}, label="A")
    after = put_together(parts={"top": piece(mass="30 g")}, label="B")
    entry = known(before, "33 g", of=("lid",))
    assert standing(after, entry) == {}
    assert standing(after, entry, renamed=lambda *_: "top") == {"top": 33}


def test_a_part_that_was_only_described_better_keeps_its_weighing():
    before = put_together(parts={"lid": piece(mass="30 g guess")}, label="A")
    after = put_together(parts={"lid": piece(stock="s", area="100 cm2")}, label="B")
    entry = known(before, "33 g", of=("lid",))
    assert standing(after, entry) == {}
    assert standing(after, entry, described_better=lambda *_: True) == {"lid": 33}


def test_how_a_number_is_written_is_no_content_but_the_stock_is():
    def lid(thickness, label):
        sheet = stock("acetal", thickness=thickness)
        return put_together(stock={"s": sheet}, parts={"lid": piece(stock="s", area="1 cm2")}, label=label)

    entry = known(lid("3 mm", "A"), "33 g", of=("lid",))
    assert standing(lid("3.0 mm", "B"), entry) == {"lid": 33}
    assert standing(lid("2 mm", "B"), entry) == {}


def test_pieces_weighed_scale_to_pieces_there_are():
    two = put_together(parts={"side": piece(mass="30 g", count=2)}, label="A")
    three = put_together(parts={"side": piece(mass="30 g", count=3)}, label="B")
    assert standing(two, known(two, "62 g", of=("side",))) == {"side": 62}
    assert standing(two, known(two, "31 g", of=("side",), count=1)) == {"side": 62}
    assert standing(three, known(two, "62 g", of=("side",))) == {"side": pytest.approx(93)}


def test_the_later_of_two_weighings_counts():
    build_a = put_together(parts={"lid": piece(mass="30 g")})
    first, second = known(build_a, "33 g", of=("lid",)), known(build_a, "34 g", of=("lid",))
    assert standing(build_a, first, second) == {"lid": 34}


def test_a_weighed_fastener_group_stands_with_all_its_screws():
    build_a = put_together(fasteners={"deck": bolts("M3x10 cap", 8)})
    assert standing(build_a, known(build_a, "7.4 g", of=("deck",))) == {"deck": 7.4}


def test_a_weighed_place_stands_in_every_place_of_the_design_its_own_first():
    both = put_together(modules={"left": at("A"), "right": at("A")})
    left = known(both, "48 g", of=("left",))
    right = known(both, "50 g", of=("right",))
    assert standing(both, left) == {"left": 48, "right": 48}
    assert standing(both, right, left) == {"left": 48, "right": 50}


def test_a_weighed_place_does_not_stand_for_another_build_of_the_module_or_another_choice():
    mixed = put_together(modules={"left": at("A"), "right": at("B")})
    assert standing(mixed, known(mixed, "48 g", of=("left",))) == {"left": 48}


def test_a_part_weighed_in_one_place_stands_in_the_other_under_the_modules_renames():
    mixed = put_together(modules={"left": at("A"), "right": at("B")})
    names = {("pod", "A", "B", "motor"): "engine"}
    entry = known(mixed, "41 g", of=("left.motor",))
    found = standing(mixed, entry, renamed=lambda *key: names.get(key))
    assert found == {"left.motor": 41, "right.engine": 41}


def test_a_modules_own_results_count_for_every_design_that_carries_it():
    pod = assemble(POD_A, lineup(POD_A))
    wren = put_together(modules={"left": at("A"), "right": at("B")})
    whole, motor = known(pod, "48 g"), known(pod, "41 g", of=("motor",))
    assert standing(wren, whole) == {"left": 48}
    assert standing(wren, motor) == {"left.motor": 41}


def test_another_robots_results_do_not_count_here():
    other = assemble(build(module("stint", modules={"left": at("A")})), lineup(POD_A))
    wren = put_together(modules={"left": at("A")})
    assert standing(wren, known(other, "48 g", of=("left",))) == {}


def test_a_weighing_of_several_refs_a_role_or_a_remainder_replaces_nothing():
    build_a = put_together(parts={"lid": piece(mass="30 g"), "base": piece(mass="40 g")})
    entries = (
        known(build_a, "70 g"),
        known(build_a, "70 g", of=("lid", "base")),
        known(build_a, "70 g", role="other"),
        known(build_a, "30 g", except_=("base",)),
    )
    assert standing(build_a, *entries) == {}


def test_an_option_stands_for_what_its_choice_holds():
    fork = option(
        long=Choice(parts={"tine": piece(mass="31 g")}), short=Choice(parts={"stub": piece(mass="24 g")})
    )
    long = put_together(options={"fork": fork}, fitted={"fork": "long"})
    short = put_together(options={"fork": fork}, fitted={"fork": "long"}, choices={"fork": "short"})
    entry = known(long, "32 g", of=("fork",))
    assert standing(long, entry) == {"tine": 32}
    assert standing(short, entry) == {}


def test_one_reading_in_two_places_is_one_variable():
    both = put_together(modules={"left": at("A"), "right": at("A")})
    found = standing_weighings(both, [known(both, "48 g", of=("left",))], names_stay, {})
    assert found["left"].parts == found["right"].parts


# --- the whole -------------------------------------------------------------------------------------------

FORK = option(
    long=Choice(parts={"tine": piece(mass="31 g")}), short=Choice(parts={"stub": piece(mass="24 g")})
)


def test_the_latest_whole_weighing_of_the_build_with_its_choices_is_what_it_measured():
    def wren(label, choice):
        return put_together(
            options={"fork": FORK}, fitted={"fork": "long"}, label=label, choices={"fork": choice}
        )

    long = wren("A", "long")
    entries = [
        known(long, "100 g"),
        known(long, "102 g", on="2026-03-08"),
        known(wren("A", "short"), "95 g"),
        known(wren("B", "long"), "120 g"),
        known(long, "31 g", of=("tine",)),
        known(long, "71 g", except_=("tine",)),
    ]
    entry, measured = latest_whole(long, entries, {})
    assert (entry.is_[0].text, measured.value) == ("102 g", 102)
    assert latest_whole(wren("B", "short"), entries, {}) is None
