"""What small builds weigh, by hand."""

from math import pi, sqrt

import pytest

from lineage.figures.weight import choice_masses, weigh
from lineage.spec.assembly import assemble
from lineage.spec.records import Choice, Family, Spread
from lineage.values.uncertain import Uncertain
from tests.hand_built import assembled, module, option, place, robot
from tests.weighing_bench import bolts, build, drawn, lineup, material, piece, stock


def weight_of(*modules, measures=None, weighed=None, family=None, drawings=None, **keys):
    assembly = assembled(robot(**keys), *modules, family=family, drawings=drawings)
    return weigh(assembly, measures or {}, weighed or {})


def on_the_scale(grams, u=0.1):
    return Uncertain(grams, {("reading", grams): u})


# --- what was typed --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "typed, grams, u",
    [
        ("92 g ± 2 g", 92, 1.0),
        ("92 g", 92, 92 * 0.05 / 2),
        ("92 g listed", 92, 92 * 0.05 / 2),
        ("92 g modelled", 92, 92 * 0.10 / 2),
        ("92 g guess", 92, 92 * 0.25 / 2),
        ("92.0 g weighed", 92, 0.1 / sqrt(12)),
        ("1/2 oz weighed", 14.174761562, 0.0),
        ("8.2 g weighed for 2", 4.1, 0.1 / sqrt(12) / 2),
        ("100 g +4/-2", 101, 1.5),
    ],
)
def test_a_typed_mass_has_the_spread_of_how_it_is_known(typed, grams, u):
    predicted = weight_of(parts={"battery": piece(mass=typed)}).predicted
    assert predicted.value == pytest.approx(grams)
    assert predicted.u == pytest.approx(u)


def test_a_family_may_have_its_own_spreads():
    family = Family(title="close", spread=Spread(listed=0.02))
    assert weight_of(parts={"motor": piece(mass="100 g")}, family=family).predicted.u == pytest.approx(1.0)


def test_four_pieces_of_one_mass_share_its_error():
    assert weight_of(parts={"wheel": piece(mass="10 g ± 1 g", count=4)}).predicted.u == pytest.approx(2.0)


def test_two_parts_that_were_typed_apart_do_not_share_theirs():
    wheels = {"front": piece(mass="10 g ± 1 g"), "back": piece(mass="10 g ± 1 g")}
    assert weight_of(parts=wheels).predicted.u == pytest.approx(sqrt(2) / 2)


def test_a_module_in_two_places_shares_its_errors():
    pod = module("pod", parts={"motor": piece(mass="40 g ± 2 g")})
    weight = weight_of(pod, modules={"left": place("pod"), "right": place("pod")})
    assert weight.predicted.value == 80
    assert weight.predicted.u == pytest.approx(2.0)


# --- sheet, bar and tube ---------------------------------------------------------------------------------


def test_a_sheet_is_area_times_thickness_times_density():
    sheet = stock("acetal", thickness="3 mm ± 0.15 mm", density="1410 kg/m3 ± 20 kg/m3")
    weight = weight_of(parts={"lid": piece(stock="pom-3", area="100 cm2", count=2)}, stock={"pom-3": sheet})
    assert weight.predicted.value == pytest.approx(2 * 42.3)
    relative = sqrt((0.15 / sqrt(3) / 3) ** 2 + (10 / 1410) ** 2)
    assert weight.predicted.u == pytest.approx(2 * 42.3 * relative)
    assert weight.items[0].basis == "area"
    assert weight.by_material == {"acetal": weight.predicted.value}


def test_plates_of_one_stock_share_its_thickness():
    sheet = stock("acetal", thickness="3 mm ± 0.15 mm", density="1410 kg/m3 ± 0 kg/m3")
    halves = {name: piece(stock="pom-3", area="50 cm2") for name in ("left", "right")}
    whole = {"plate": piece(stock="pom-3", area="100 cm2")}
    of_halves, of_whole = (
        weight_of(parts=parts, stock={"pom-3": sheet}).predicted for parts in (halves, whole)
    )
    assert of_halves.u == pytest.approx(of_whole.u)


def test_a_designs_own_stock_is_another_sheet_than_the_familys():
    family = Family(
        title="two sheets",
        stock={"s": stock("acetal", thickness="3 mm ± 0.3 mm", density="1 g/cm3 ± 0 g/cm3")},
    )
    own = stock("acetal", thickness="3 mm ± 0.3 mm", density="1 g/cm3 ± 0 g/cm3")
    pod = module("pod", parts={"plate": piece(stock="s", area="100 cm2")})
    shared = weight_of(
        pod, family=family, parts={"lid": piece(stock="s", area="100 cm2")}, modules={"at": place("pod")}
    )
    apart = weight_of(
        pod,
        family=family,
        stock={"s": own},
        parts={"lid": piece(stock="s", area="100 cm2")},
        modules={"at": place("pod")},
    )
    one = 30 * 0.1 / sqrt(3)
    assert shared.predicted.u == pytest.approx(2 * one)
    assert apart.predicted.u == pytest.approx(sqrt(2) * one)


def test_a_density_of_the_table_belongs_to_the_material():
    sheets = {
        "a": stock("acetal", thickness="3 mm ± 0 mm"),
        "b": stock("acetal", thickness="6 mm ± 0 mm"),
    }
    parts = {"one": piece(stock="a", area="100 cm2"), "two": piece(stock="b", area="100 cm2")}
    predicted = weight_of(parts=parts, stock=sheets).predicted
    assert predicted.u == pytest.approx(predicted.value * 20 / sqrt(3) / 1410)


def test_a_familys_material_stands_before_the_table_and_borrows_its_spread():
    family = Family(title="own", materials={"pom-black": material("1.42 g/cm3", like="acetal")})
    sheet = stock("pom-black", thickness="3 mm ± 0 mm")
    predicted = weight_of(
        family=family, stock={"s": sheet}, parts={"lid": piece(stock="s", area="100 cm2")}
    ).predicted
    assert predicted.value == pytest.approx(42.6)
    assert predicted.u == pytest.approx(42.6 * 20 / sqrt(3) / 1410)


def test_a_thickness_nobody_publishes_leaves_the_uncertainty_not_known():
    sheet = stock("g10", thickness="2 mm")
    predicted = weight_of(stock={"s": sheet}, parts={"lid": piece(stock="s", area="100 cm2")}).predicted
    assert predicted.value == pytest.approx(36.2)
    assert predicted.u is None


def test_a_thickness_without_tolerance_takes_that_of_its_kind_of_sheet():
    sheet = stock("aluminium-7075", thickness="3 mm", density="2.8 g/cm3 ± 0 g/cm3")
    predicted = weight_of(stock={"s": sheet}, parts={"lid": piece(stock="s", area="100 cm2")}).predicted
    assert predicted.u == pytest.approx(100 * 0.011 / sqrt(3) * 2.8)


def test_a_one_sided_tolerance_is_centred_first():
    sheet = stock("acetal", thickness="6 mm +0.6/-0", density="1 g/cm3 ± 0 g/cm3")
    predicted = weight_of(stock={"s": sheet}, parts={"lid": piece(stock="s", area="10 cm2")}).predicted
    assert predicted.value == pytest.approx(6.3)
    assert predicted.u == pytest.approx(0.3 / sqrt(3))


def test_a_one_sided_spread_that_nobody_typed_leaves_the_thickness_as_typed():
    sheet = stock("acetal", thickness="6 mm", density="1 g/cm3 ± 0 g/cm3")
    predicted = weight_of(stock={"s": sheet}, parts={"lid": piece(stock="s", area="10 cm2")}).predicted
    assert predicted.value == pytest.approx(6.0)
    # Even between 0 and 0.635 mm too thick: the root mean square of how far it is from 6 mm.
    assert predicted.u == pytest.approx(
        sqrt(sum((0.635 * (n + 0.5) / 1000) ** 2 for n in range(1000)) / 1000), rel=1e-6
    )


def test_a_drawing_gives_area_and_its_flattening_a_limit():
    sheet = stock("acetal", areal="4 kg/m2 ± 0 kg/m2")
    parts = {"lid": piece(stock="s", outline="lid.dxf")}
    weight = weight_of(
        stock={"s": sheet},
        parts=parts,
        drawings={"lid.dxf": "abc"},
        measures={"abc": drawn(1000.0, limit=3.0)},
    )
    assert weight.predicted.value == pytest.approx(4.0)
    assert weight.predicted.u == pytest.approx(3.0 / sqrt(3) * 0.004)
    assert weight.items[0].basis == "drawing"


def test_a_drawing_with_ignored_layers_is_measured_apart():
    sheet = stock("acetal", areal="4 kg/m2 ± 0 kg/m2")
    parts = {
        "lid": piece(stock="s", outline="lid.dxf", ignore=("text",)),
        "all": piece(stock="s", outline="lid.dxf"),
    }
    measures = {"abc": drawn(1000.0), "abc  text": drawn(900.0)}
    weight = weight_of(stock={"s": sheet}, parts=parts, drawings={"lid.dxf": "abc"}, measures=measures)
    assert weight.masses["lid"].value == pytest.approx(3.6)
    assert weight.masses["all"].value == pytest.approx(4.0)


def test_a_cut_takes_its_half_width_off_all_round():
    sheet = stock("acetal", areal="1 kg/m2 ± 0 kg/m2", kerf="0.1 mm ± 0.03 mm")
    weight = weight_of(
        stock={"s": sheet},
        parts={"lid": piece(stock="s", outline="lid.dxf")},
        drawings={"lid.dxf": "abc"},
        measures={"abc": drawn(1000.0, 130.0)},
    )
    assert weight.predicted.value == pytest.approx((1000 - 13) / 1000)
    assert weight.predicted.u == pytest.approx(130 * 0.03 / sqrt(3) / 1000)


@pytest.mark.parametrize(
    "section, area",
    [
        ("6 mm round", 9 * pi),
        ("20 x 10 mm bar", 200),
        ("12 x 1 mm tube", 11 * pi),
        ("8 mm square", 64),
        ("10 mm hex", 50 * sqrt(3)),
        ("30 mm2", 30),
    ],
)
def test_a_bar_is_section_times_length_times_density(section, area):
    bar = stock("steel", section=section, density="8 g/cm3 ± 0 g/cm3")
    weight = weight_of(stock={"bar": bar}, parts={"axle": piece(stock="bar", length="50 mm")})
    assert weight.predicted.value == pytest.approx(area * 50 * 0.008)
    assert weight.predicted.u == 0
    assert weight.items[0].basis == "length"


def test_a_diameter_counts_twice_as_one_variable():
    bar = stock("steel", section="6 ± 0.1 mm round", density="8 g/cm3 ± 0 g/cm3")
    predicted = weight_of(stock={"bar": bar}, parts={"axle": piece(stock="bar", length="50 mm")}).predicted
    assert predicted.u / predicted.value == pytest.approx(2 * 0.1 / sqrt(3) / 6)


def test_linear_stock_is_length_times_linear():
    cable = stock("copper", linear="12 g/m ± 1 g/m")
    predicted = weight_of(
        stock={"wire": cable}, parts={"loom": piece(stock="wire", length="250 mm")}
    ).predicted
    assert predicted.value == pytest.approx(3.0)
    assert predicted.u == pytest.approx(0.125)


# --- fasteners -------------------------------------------------------------------------------------------


def test_screws_come_from_the_table_with_the_spread_of_a_listed_mass():
    weight = weight_of(fasteners={"deck": bolts("ISO 4762 M3x10", 8)})
    assert weight.predicted.value == pytest.approx(7.2)
    assert weight.predicted.u == pytest.approx(7.2 * 0.05 / 2)
    assert weight.by_role == {"fasteners": weight.predicted.value}
    assert weight.by_material == {"steel": weight.predicted.value}
    assert weight.items[0].basis == "standard"


def test_one_type_in_two_groups_is_one_variable():
    groups = {"top": bolts("ISO 4762 M3x10", 4), "base": bolts("M3x10 cap", 4)}
    assert weight_of(fasteners=groups).predicted.u == pytest.approx(7.2 * 0.05 / 2)


def test_screws_of_another_material_go_by_its_density():
    weight = weight_of(fasteners={"deck": bolts("M3x10 cap", 1, material="nylon")})
    assert weight.predicted.value == pytest.approx(0.9 * 1140 / 7850)


def test_washers_and_nuts_are_counted_per_screw():
    weight = weight_of(fasteners={"deck": bolts("M3x10 cap", 2, washers=2, nuts=1)})
    assert weight.predicted.value == pytest.approx(2 * (0.9 + 2 * 0.11950 + 0.38767), abs=1e-4)


def test_any_text_with_a_mass_is_a_screw_too():
    weight = weight_of(fasteners={"deck": bolts("thumb screw", 3, mass="2 g weighed")})
    assert weight.predicted.value == pytest.approx(6.0)
    assert weight.items[0].basis == "weighed"
    assert weight.by_material == {"not known": 6.0}


@pytest.mark.parametrize(
    "group", [bolts("thumb screw", 3), bolts("thumb screw", 3, mass="2 g", washers=1), bolts("M3x10 cap", 3, material="cheese"), bolts("4-40 x 1/2 in cap", 1, nuts=1)]
)  # fmt: skip
def test_a_group_that_no_table_covers_lacks_a_mass(group):
    weight = weight_of(fasteners={"deck": group})
    assert weight.without_mass == ("deck",)
    assert weight.predicted.value == 0


# --- what is not known, and what adds up -----------------------------------------------------------------


def test_what_lacks_a_mass_is_left_out_and_named():
    weight = weight_of(parts={"lid": piece(stock="s", outline="lid.dxf"), "battery": piece(mass="90 g")}, stock={"s": stock("acetal", thickness="3 mm")})  # fmt: skip
    assert weight.without_mass == ("lid",)
    assert weight.known_items == ("battery",)
    assert not weight.is_complete
    assert weight.items[0].mass is None


def test_shares_by_role_material_and_module_add_up():
    pod = module(
        "pod", parts={"motor": piece(mass="40 g", role="drive"), "box": piece(mass="7 g", material="brass")}
    )
    weight = weight_of(
        pod,
        parts={"lid": piece(mass="30 g", role="chassis"), "odd": piece(mass="1 g")},
        fasteners={"deck": bolts("M3x10 cap", 8)},
        modules={"left": place("pod", role="drive"), "right": place("pod")},
    )
    assert weight.by_role == pytest.approx({"chassis": 30, "other": 8, "fasteners": 7.2, "drive": 87})
    assert weight.by_module == pytest.approx({"own": 38.2, "left": 47, "right": 47})
    assert weight.by_material == pytest.approx({"not known": 111, "steel": 7.2, "brass": 14})


# --- what was weighed ------------------------------------------------------------------------------------


def test_a_weighed_part_counts_as_weighed_and_keeps_its_estimate():
    weight = weight_of(parts={"motor": piece(mass="40 g", count=2)}, weighed={"motor": on_the_scale(83.0)})
    (item,) = weight.items
    assert (item.basis, item.mass.value, item.estimate.value) == ("weighed", 83.0, 80.0)
    assert weight.predicted.u == pytest.approx(0.1)


def test_a_weighed_module_keeps_its_items_and_adds_what_they_lack():
    pod = module("pod", parts={"motor": piece(mass="40 g", role="drive"), "box": piece(mass="7 g")})
    weight = weight_of(
        pod, modules={"left": place("pod", role="armour")}, weighed={"left": on_the_scale(50.0, 0.2)}
    )
    assert [(item.ref, item.mass.value) for item in weight.items] == [("left.motor", 40), ("left.box", 7), ("left as weighed", 3)]  # fmt: skip
    extra = weight.items[-1]
    assert (extra.kind, extra.role, extra.material, extra.count, extra.module) == ("as weighed", "armour", "not known", 1, "left")  # fmt: skip
    assert weight.predicted.u == pytest.approx(0.2)
    assert weight.by_module == {"left": 50.0}


def test_a_weighed_module_makes_good_what_is_not_known_inside():
    parts = {"plate": piece(stock="s", area="100 cm2"), "drawn": piece(stock="s", outline="x.dxf")}
    pod = module("pod", stock={"s": stock("g10", thickness="2 mm")}, parts=parts)
    weight = weight_of(pod, modules={"left": place("pod")}, weighed={"left": on_the_scale(50.0, 0.2)})
    assert weight.without_mass == ()
    assert weight.predicted.value == 50.0
    assert weight.predicted.u == pytest.approx(0.2)


def test_a_weighed_module_inside_a_weighed_module_counts_once():
    box = module("box", parts={"gear": piece(mass="5 g")})
    pod = module("pod", parts={"motor": piece(mass="40 g")}, modules={"box": place("box")})
    weighed = {"left": on_the_scale(50.0), "left.box": on_the_scale(6.0)}
    weight = weight_of(pod, box, modules={"left": place("pod")}, weighed=weighed)
    assert weight.predicted.value == 50.0
    masses = {ref: mass.value for ref, mass in weight.masses.items()}
    assert masses == {"left.motor": 40, "left.box.gear": 5, "left.box as weighed": 1, "left as weighed": 4}


def test_a_weighing_that_serves_two_places_is_one_variable():
    pod = module("pod", parts={"motor": piece(mass="40 g")})
    same = on_the_scale(41.0, 0.1)
    weight = weight_of(pod, modules={"left": place("pod"), "right": place("pod")}, weighed={"left": same, "right": same})  # fmt: skip
    assert weight.predicted.u == pytest.approx(0.2)


# --- choices ---------------------------------------------------------------------------------------------


def test_every_choice_of_an_option_is_weighed():
    pod = module("pod", parts={"motor": piece(mass="40 g"), "pin": piece(mass="1 g", count=2)})
    fork = option(
        long=Choice(parts={"tine": piece(mass="31 g")}, fasteners={"pins": bolts("M3x10 cap", 2)}),
        short=Choice(parts={"stub": piece(stock="nothing", area="1 cm2")}),
        driven=Choice(modules={"at": place("pod")}),
    )
    spec = build(robot(parts={"lid": piece(mass="9 g")}, options={"fork": fork}, fitted={"fork": "long"}))
    found = choice_masses(spec, lineup(build(pod)), lambda assembly: weigh(assembly, {}))
    assert found == {"fork": {"long": pytest.approx(32.8), "short": None, "driven": pytest.approx(42.0)}}
    assert weigh(assemble(spec, lineup(build(pod))), {}).predicted.value == pytest.approx(41.8)
