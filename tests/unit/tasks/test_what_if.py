"""A state with some keys changed answers as edited files would, adds up, and refuses what names nothing."""

import re

import pytest

from lineage.problems import AskedWrongly
from lineage.tasks.differing import step_between
from lineage.tasks.what_if import with_alterations
from tests.in_memory import FAMILY, InMemory

HUB = "module: hub\nparts: {wheel: {mass: 9 g}}\n"
POD = """\
module: pod
modules: {hub: hub@A}
parts:
  motor: {role: drive, mass: 41 g}
  bracket: {stock: al-2, area: 12 cm2}
"""
WREN = """\
robot: wren
class: 3lb
stock:
  hard: {material: steel, thickness: 2 mm, density: 7800 kg/m3}
parts:
  lid: {role: chassis, stock: pc-3, area: 100 cm2, count: 2}
  tail: {role: armour, stock: hard, area: 10 cm2}
  cell: {role: power, mass: 90 g, size: 60 x 30 x 18 mm}
modules:
  left: pod@A
  right: {use: pod@A, role: drive}
fasteners:
  tail-screws: {type: M3x8 cap, count: 2, holds: tail}
options:
  nose:
    wedge: {parts: {wedge: {role: front, mass: 60 g}}}
    forks: {parts: {fork: {role: front, mass: 40 g, count: 2}}}
fitted: {nose: wedge}
settings: {arm v1.2: 30 deg}
fits:
  gap: {need: at least 1 mm, chain: [20 mm, -cell.height]}
"""


@pytest.fixture(scope="module")
def made() -> InMemory:
    family = InMemory()
    family.record("hub", "A", "2025-01-01", HUB)
    family.record("pod", "A", "2025-01-02", POD)
    family.record("wren", "A", "2025-01-03", WREN)
    return family


def grams(state) -> float:
    return state.amounts.weight(state.ref, state.choices).predicted.value


def change_of(made, *asked: str, at: str = "wren@now") -> float:
    state = made.state(at)
    return grams(with_alterations(state, asked)) - grams(state)


SAME_AS_EDITED = [
    ("lid.count=3", "cm2, count: 2", "cm2, count: 3"),
    ("lid.stock=al-2", "stock: pc-3", "stock: al-2"),
    ("lid.count=", "cm2, count: 2", "cm2"),
    ("cell.mass=104 g weighed", "mass: 90 g", "mass: 104 g weighed"),
    ("cell={role: power, mass: 100 g, size: 1 x 1 x 1 mm}", "{role: power, mass: 90 g, size: 60 x 30 x 18 mm}", "{role: power, mass: 100 g, size: 1 x 1 x 1 mm}"),
    ("stock.hard.thickness=3 mm", "thickness: 2 mm", "thickness: 3 mm"),
    ("nose=forks", "nose: wedge", "nose: forks"),
    ("fitted.nose=forks", "nose: wedge", "nose: forks"),
    ("fork.count=3", "count: 2}}}", "count: 3}}}"),
    ("wedge.mass=61 g", "60 g", "61 g"),
    ("tail-screws.material=titanium-6al4v", "count: 2, holds", "count: 2, material: titanium-6al4v, holds"),
    ("parts.duct={mass: 5 g}", "parts:\n  lid", "parts:\n  duct: {mass: 5 g}\n  lid"),
    ("left.role=weapon", "left: pod@A", "left: {use: pod@A, role: weapon}"),
]  # fmt: skip


@pytest.mark.parametrize("asked, old, new", SAME_AS_EDITED, ids=[row[0] for row in SAME_AS_EDITED])
@pytest.mark.parametrize("at", ["wren@now", "wren@A"])
def test_a_changed_spec_weighs_what_the_edited_file_would(made, asked, old, new, at):
    edited = InMemory()
    edited.tree.by_path = dict(made.tree.by_path)
    assert WREN.count(old) == 1
    edited.write({"robots/wren.yaml": WREN.replace(old, new)})
    wanted, found = edited.state("wren@now"), with_alterations(made.state(at), [asked])
    weight = wanted.amounts.weight(wanted.ref)
    answer = found.amounts.weight(found.ref)
    assert answer.predicted.value == pytest.approx(weight.predicted.value, rel=1e-12)
    assert answer.predicted.u == pytest.approx(weight.predicted.u, rel=1e-9)
    assert answer.by_role == pytest.approx(weight.by_role)


def test_nothing_is_written(made):
    before = dict(made.tree.by_path)
    with_alterations(
        made.state("wren@now"), ["lid.count=3", "pod.motor.mass=50 g", "stock.pc-3.thickness=4 mm"]
    )
    assert made.tree.by_path == before


def test_a_stock_of_the_family_changes_for_all_that_is_cut_from_it(made):
    assert change_of(made, "stock.pc-3.thickness=4 mm ± 0.15 mm") == pytest.approx(2 * 10000 * 1e-3 * 1.2)


def test_a_stock_of_the_designs_own_comes_before_the_familys():
    own = InMemory({"robots/wren.yaml": WREN.replace("  hard:", "  pc-3: {material: acetal, thickness: 2 mm, density: 1 g/cm3}\n  hard:").replace("modules:\n  left: pod@A\n  right: {use: pod@A, role: drive}\n", "")})  # fmt: skip
    assert change_of(own, "stock.pc-3.thickness=3 mm") == pytest.approx(20)


def test_a_material_and_a_limit_of_the_family_can_be_others(made):
    assert change_of(made, "materials.steel.density=8000 kg/m3") == 0  # the stock has a density of its own
    altered = with_alterations(made.state("wren@now"), ["classes.3lb.limit=500 g"])
    assert altered.spec.family.classes["3lb"].limit.value == 500


def test_what_is_left_out_takes_its_screws_along_only_when_asked(made):
    with pytest.raises(AskedWrongly, match="nothing called `tail`"):
        with_alterations(made.state("wren@now"), ["tail="])
    screws = made.state("wren@now").amounts.weight(made.state("wren@now").ref).masses["tail-screws"].value
    assert change_of(made, "tail=", "tail-screws=") == pytest.approx(-10 * 0.2 * 7.8 - screws)


# --- modules ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "asked, change",
    [
        (("left.motor.mass=50 g",), 9),
        (("pod.motor.mass=50 g",), 18),
        (("left.motor.mass=50 g", "right.motor.mass=50 g"), 18),
        (("left.hub.wheel.mass=10 g",), 1),
        (("hub.wheel.mass=10 g",), 2),
        (("hub.wheel.mass=10 g", "pod.motor.mass=50 g"), 20),
        (("pod.bracket=",), -2 * 12 * 0.2 * 2.8),
    ],
)
@pytest.mark.parametrize("at", ["wren@now", "wren@A"])
def test_inside_a_module_one_place_changes_or_all_of_them(made, asked, change, at):
    assert change_of(made, *asked, at=at) == pytest.approx(change)


def test_a_place_can_use_another_build_and_keeps_its_other_keys():
    made = InMemory()
    made.record("hub", "A", "2025-01-01", HUB)
    made.record("pod", "A", "2025-01-02", POD)
    made.record("pod", "B", "2025-02-02", POD.replace("41 g", "44 g"))
    made.write({"robots/wren.yaml": WREN})
    assert change_of(made, "left=pod@B") == pytest.approx(3)
    other = with_alterations(made.state("wren@now"), ["right=pod@B"])
    assert other.spec.design.modules["right"].role == "drive"
    assert change_of(made, "right=") == pytest.approx(-41 - 9 - 12 * 0.2 * 2.8)


def test_a_module_cannot_be_two_things_at_once(made):
    with pytest.raises(AskedWrongly, match="pod would be two things at once"):
        with_alterations(made.state("wren@now"), ["left.motor.mass=50 g", "right.motor.mass=51 g"])


def test_a_module_in_a_build_keeps_the_family_of_its_own_build(made):
    later = InMemory(family=FAMILY.replace("2800 kg/m3", "3000 kg/m3"))
    later.tree.by_path = {**made.tree.by_path, "family.yaml": later.tree.by_path["family.yaml"]}
    assert change_of(later, "left.motor.mass=50 g") == pytest.approx(9)
    assert change_of(later, "lid.count=3", at="wren@A") == pytest.approx(36)


# --- against today ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "asked",
    [
        ("lid.stock=al-2",), ("stock.pc-3.thickness=4 mm",), ("pod.motor.mass=50 g", "lid.count=1"), ("nose=forks",),
        ("tail=", "tail-screws="), ("left.hub.wheel.mass=10 g",),
    ],
)  # fmt: skip
def test_the_shares_of_what_would_change_add_up(made, asked):
    state = made.state("wren@now")
    step = step_between(state, with_alterations(state, asked))
    shares = sum(step.mass.shares[change.id].mass_g or 0 for change in step.changes)
    assert step.changes
    assert shares == pytest.approx(step.mass.after_g - step.mass.before_g, abs=1e-9)


def test_what_is_asked_is_the_name_of_the_state(made):
    label = with_alterations(made.state("wren@A"), ["lid.count=3", "tail.item=old plate", "cell.role="]).label
    assert label == "A with lid.count=3, tail.item=old plate, without cell.role"


# --- asked wrongly ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "asked, said",
    [
        ("lid", "--with lid"),
        ("=3", "--with =3"),
        ("lid..count=3", "--with lid..count=3"),
        ("lib.count=3", "nothing called 'lib'"),
        ("lid.cuont=3", "`cuont` is no key of part"),
        ("lid.count=two", "`two` is no count"),
        ("lid.count=1\n  mass: 5 g", "no count"),
        ("lid.stock=nope", "has the stock `nope`"),
        ("cell.mass=90", "90"),
        ("lid.mass.x=3", "mass"),
        ("left.mtor.mass=3 g", "nothing called 'mtor'"),
        ("class=500g", "no class `500g`"),
        ("nose=ramp", "ramp"),
        ("left=pod@Z", "pod@Z"),
        ("hub@A.wheel.mass=3 g", "nothing called 'hub@A'"),
        ("lid.stock=!!python/object:os.system x", "orders how a value is read"),
        ("lid.stock=&a pc-3", "a name to repeat it by"),
    ],
)
def test_what_names_nothing_or_cannot_be_is_refused_with_a_cure(made, asked, said):
    with pytest.raises(AskedWrongly, match=re.escape(said)) as caught:
        with_alterations(made.state("wren@now"), [asked])
    assert caught.value.wanted


def test_a_near_name_is_offered(made):
    with pytest.raises(AskedWrongly) as caught:
        with_alterations(made.state("wren@now"), ["lib.count=3"])
    assert caught.value.mend == "did you mean lid.count?"


def test_a_key_said_twice_is_refused(made):
    with pytest.raises(AskedWrongly, match="said twice"):
        with_alterations(made.state("wren@now"), ["lid.count=3", "lid.count=4"])
