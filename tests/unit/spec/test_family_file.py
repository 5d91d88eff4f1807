"""family.yaml: every key read, every fault placed."""

import pytest

from lineage.problems import Place
from lineage.spec.family_file import read_family

WHOLE = """\
family: Waders
classes:
  3lb: {limit: 3 lb, size: 300 x 300 mm, materials: {chassis: [uhmw-pe], front: steel}, reserve: 10 g, inspect: [link], about: yes}
materials: {pla-cf: {density: 1.3 g/cm3 ± 2 %, like: pla, cautions: [dust], about: printed}}
stock:
  pc-3: {material: polycarbonate, thickness: 3 mm ± 0.15 mm, density: 1196 kg/m3, sheet: 600 x 400 mm, kerf: 0.1 mm,
         price: 12.50 EUR, cut: {how: router, passes: 2, note: slow}}
  rod-6: {material: steel, section: 6 mm round, linear: 222 g/m, bar: 1 m}
  cloth: {material: carbon, areal: 200 g/m2}
scales: {bench: {resolution: 1 g, accuracy: ± 2 g}, kitchen: {accuracy: 0.5 %}}
tolerances: {laser: ± 0.1 mm, print: +0.2/-0.1 mm, mill: ISO 2768-1 m}
spread: {listed: 4 %, modelled: 8 %, guess: 30 %}
times: {tool: 4 s, screw: 3, turn: 0.5 s, part: 3, plug: 2, clip: 1}
rules: {screws: {chassis: 4, weapon: 6}}
turnaround: 20 min
notes: {kept by: hand, since: [2023]}
x-shelf: [a, {b: c}]
"""


def family(text):
    read = read_family(text.encode())
    assert read.problems == ()
    assert read.record is not None
    return read.record


def problem(text):
    read = read_family(text.encode())
    assert read.record is None
    assert len(read.problems) == 1, read.problems
    return read.problems[0]


def test_every_key_is_read():
    read = family(WHOLE)
    assert read.title == "Waders"
    of_class = read.classes["3lb"]
    assert of_class.limit.value == pytest.approx(1360.77711)
    assert of_class.size.height is None
    assert of_class.materials == {"chassis": ("uhmw-pe",), "front": ("steel",)}
    assert (of_class.reserve.value, of_class.inspect, of_class.about) == (10, ("link",), "yes")
    assert read.materials["pla-cf"].density.plus == pytest.approx(0.000026)
    assert (read.materials["pla-cf"].like, read.materials["pla-cf"].cautions) == ("pla", ("dust",))
    sheet, rod, cloth = read.stock.values()
    assert (sheet.thickness.limit, sheet.density.value, sheet.sheet.length.value) == (0.15, 0.001196, 600)
    assert (sheet.kerf.value, sheet.price.unit, sheet.cut.how, sheet.cut.passes) == (
        0.1,
        "EUR",
        "router",
        "2",
    )
    assert (rod.section.shape, rod.linear.value, rod.bar.value) == ("round", 0.222, 1000)
    assert cloth.areal.value == pytest.approx(0.0002)
    assert (read.scales["bench"].accuracy.mass, read.scales["kitchen"].accuracy.share) == (2, 0.005)
    assert read.tolerances["print"].minus == 0.1
    assert read.tolerances["mill"].general == "m"
    assert (read.spread.listed, read.spread.guess) == (0.04, 0.3)
    assert (read.times.tool, read.times.screw, read.times.turn, read.times.clip) == (4, 3, 0.5, 1)
    assert read.rules.screws == {"chassis": 4, "weapon": 6}
    assert read.turnaround.value == 1200
    assert read.notes == {"kept by": "hand", "since": ["2023"]}
    assert read.extra == {"x-shelf": ["a", {"b": "c"}]}


def test_only_title_and_classes_are_needed():
    read = family("family: Waders\nclasses: {}\n")
    assert (read.stock, read.turnaround, read.times.tool) == ({}, None, None)


def test_a_missing_key_is_placed_at_the_mapping_that_lacks_it():
    assert problem("family: W\n").code == "missing-key"
    found = problem("family: W\nclasses: {}\nstock:\n  pc-3:\n    thickness: 3 mm\n")
    assert (found.code, found.place) == ("missing-key", Place("family.yaml", 4, 3, 7))
    assert found.what == "`stock.pc-3` has no `material`"


def test_an_unknown_key_is_refused_with_the_nearest_known_one():
    found = problem("family: W\nclasses: {}\nstok: {}\n")
    assert (found.code, found.place.line, found.mend) == ("unknown-key", 3, "write `stock`")


def test_a_key_written_wrongly_is_not_told_as_missing_too():
    assert problem("familly: W\nclasses: {}\n").code == "unknown-key"


def test_a_fault_in_a_quantity_has_its_own_column():
    found = problem('family: W\nclasses: {3lb: {limit: "3 lbb"}}\n')
    assert (found.code, found.place) == ("quantity", Place("family.yaml", 2, 27, 30))


def test_every_problem_comes_at_once_and_in_order():
    read = read_family(b"family: [W]\nclasses: {3lb: {limit: 3}}\nspread: {listed: x}\nturnaround: soon\n")
    assert [p.code for p in read.problems] == ["wrong-shape", "quantity", "quantity", "quantity"]
    assert [p.place.line for p in read.problems] == [1, 2, 3, 4]


def test_an_empty_file_says_so():
    assert problem("# nothing yet\n").code == "empty-file"


@pytest.mark.parametrize("text", ["- a\n", "a\n", "[]\n"])
def test_a_file_that_is_no_mapping_says_so(text):
    assert problem(text).code == "wrong-shape"


def test_a_mass_below_zero_is_no_limit():
    assert problem("family: W\nclasses: {3lb: {limit: -3 lb}}\n").code == "quantity"
