"""Weighings beside what was worked out, and what a spec probably lacks."""

import pytest

from lineage.figures.scale import normalised_error, of_weighing, suspects, weighed_things, whole
from lineage.figures.weight import weigh
from lineage.values.uncertain import Uncertain
from tests.hand_built import assembled, module, place, robot
from tests.weighing_bench import bolts, piece, stock, weighing

POD = module("pod", parts={"motor": piece(mass="40 g ± 2 g", role="drive"), "box": piece(mass="7 g ± 1 g")})
WREN = assembled(
    robot(
        parts={"lid": piece(mass="30 g ± 1 g", role="armour", count=2), "base": piece(mass="50 g ± 1 g")},
        modules={"left": place("pod"), "right": place("pod")},
        fasteners={"deck": bolts("M3x10 cap", 4, holes=6)},
    ),
    POD,
)


def known(value, u):
    return Uncertain(value, {("reading", value): u} if u else {})


def compared(measured, weighed=None, **keys):
    return of_weighing(WREN, weigh(WREN, {}, weighed or {}), weighing("1 g", **keys), known(measured, 0.5))


def test_a_whole_robot_is_compared_with_all_that_was_predicted():
    found = whole(weigh(WREN, {}), known(220, 1))
    assert found.residual.value == pytest.approx(220 - 207.6)
    u = weigh(WREN, {}).predicted.u
    assert found.normalised_error == pytest.approx(12.4 / (2 * (1 + u**2) ** 0.5))
    assert compared(220).predicted.value == pytest.approx(207.6)


def test_while_an_item_lacks_a_mass_there_is_no_normalised_error():
    assembly = assembled(robot(parts={"lid": piece(stock="s", outline="x.dxf"), "base": piece(mass="50 g")}))
    found = whole(weigh(assembly, {}), known(60, 1))
    assert (found.lacking, found.normalised_error, found.predicted.value) == (("lid",), None, 50)


@pytest.mark.parametrize(
    "keys, refs, grams",
    [
        ({"of": ("left",)}, ("left",), 47),
        ({"of": ("lid",)}, ("lid",), 60),
        ({"of": ("lid",), "count": 1}, ("lid",), 30),
        ({"of": ("left", "lid")}, ("lid", "left"), 107),
        ({"of": ("left", "left.box")}, ("left",), 47),
        ({"role": "drive"}, ("left.motor", "right.motor"), 80),
        ({"except_": ("left",)}, ("lid", "base", "deck", "right"), 160.6),
        ({"except_": ("left.motor",)}, ("lid", "base", "deck", "left.box", "right"), 167.6),
        ({"of": ("left",), "except_": ("left.box",)}, ("left.motor",), 40),
    ],
)
def test_what_lay_on_the_scale_is_what_it_is_compared_with(keys, refs, grams):
    found = compared(100, **keys)
    assert set(found.refs) == set(refs)
    assert found.predicted.value == pytest.approx(grams)


def test_a_thing_weighed_alone_is_compared_with_its_estimate():
    found = compared(33, {"left": known(48, 0.1), "lid": known(66, 0.1)}, of=("lid",))
    assert found.predicted.value == 60
    place_alone = compared(48, {"left": known(48, 0.1)}, of=("left",))
    assert place_alone.predicted.value == 47


def test_several_things_are_compared_as_they_count():
    found = compared(114, {"left": known(48, 0.1)}, of=("left", "lid"))
    assert found.predicted.value == 108


def test_a_place_of_which_nothing_was_left_off_is_named_itself():
    assert weighed_things(WREN, weighing("1 g", of=("right",))) == ("right",)


@pytest.mark.parametrize("measured, predicted", [(known(5, 0), known(4, 0)), (Uncertain(5.0, {}, frozenset("x")), known(4, 1))])  # fmt: skip
def test_without_known_uncertainties_there_is_no_normalised_error(measured, predicted):
    assert normalised_error(measured, predicted) is None


# --- suspects --------------------------------------------------------------------------------------------


def test_nothing_is_suspected_where_weighed_and_worked_out_agree():
    weight = weigh(WREN, {})
    assert suspects(WREN, weight, whole(weight, known(weight.predicted.value, 1))) == ()


def test_a_robot_that_is_too_heavy_lacks_a_role_glue_or_screws():
    glued = piece(mass="10 g ± 0.1 g", role="front", joined="glued")
    assembly = assembled(robot(parts={"fork": glued}, fasteners={"deck": bolts("M3x10 cap", 4, holes=6)}))
    weight = weigh(assembly, {})
    found = suspects(assembly, weight, whole(weight, known(30, 0.1)))
    by_what = [(s.what, s.about) for s in found]
    assert by_what[:2] == [("role with no mass", ("wiring",)), ("role with no mass", ("power",))]
    assert ("glue and tape", ("fork",)) in by_what
    (screw,) = (s for s in found if s.what == "count of screws")
    assert screw.grams == pytest.approx(1.8)
    assert "2 of its 6 holes" in screw.why


def test_a_robot_that_is_too_light_has_a_stock_thinner_than_it_says():
    sheet = stock("acetal", thickness="3 mm ± 0.3 mm", density="1410 kg/m3 ± 10 kg/m3")
    assembly = assembled(
        robot(
            stock={"pom-3": sheet},
            parts={"lid": piece(stock="pom-3", area="100 cm2"), "cell": piece(mass="20 g ± 0.2 g")},
        )
    )
    weight = weigh(assembly, {})
    found = suspects(assembly, weight, whole(weight, known(50, 0.1)))
    assert [s.what for s in found] == ["thickness of stock", "density of stock", "listed or modelled mass"]
    assert found[0].about == ("pom-3",)
    assert found[0].grams == pytest.approx(100 * 0.03 * 1.41)
    assert found[2].about == ("cell",)
    assert found[2].grams == pytest.approx(0.2)


def test_a_modules_mass_is_suspected_in_every_place():
    weight = weigh(WREN, {})
    found = suspects(WREN, weight, whole(weight, known(100, 0.1)))
    assert found[0].about == ("left.motor", "right.motor")
    assert found[0].grams == pytest.approx(4)


def test_of_a_weighing_of_some_things_only_those_are_suspected():
    glued = piece(mass="10 g ± 0.1 g", role="front", joined="glued")
    other = piece(mass="30 g", role="chassis", joined="taped")
    assembly = assembled(
        robot(parts={"fork": glued, "lid": other}, fasteners={"deck": bolts("M3x10 cap", 4, holes=6)})
    )
    weight = weigh(assembly, {})
    some = of_weighing(assembly, weight, weighing("30 g", of=("fork", "deck")), known(30, 0.1))
    found = suspects(assembly, weight, some)
    assert [(s.what, s.about) for s in found] == [
        ("glue and tape", ("fork",)),
        ("count of screws", ("deck",)),
        ("mass by a table", ("ISO 4762 M3x10",)),
        ("listed or modelled mass", ("fork",)),
    ]


def test_of_screws_weighed_alone_the_table_is_suspected_and_not_their_count():
    assembly = assembled(robot(fasteners={"deck": bolts("M3x10 cap", 4, holes=6, washers=1)}))
    weight = weigh(assembly, {})
    found = suspects(
        assembly, weight, of_weighing(assembly, weight, weighing("9 g", of=("deck",)), known(9, 0.1))
    )
    assert [(s.what, s.about) for s in found] == [
        ("mass by a table", ("ISO 4762 M3x10",)),
        ("mass by a table", ("ISO 7089 M3",)),
    ]
