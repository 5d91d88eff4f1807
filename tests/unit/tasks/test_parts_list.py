"""A parts list becomes a spec that can be read; everything that is wrong in it is told at once."""

import pytest

from lineage.problems import BadInput
from lineage.spec.design_file import read_design
from lineage.tasks.parts_list import design_from_parts


def made(text: str | bytes):
    data = text if isinstance(text, bytes) else text.encode()
    spec = design_from_parts("robot", "wren", data, "parts.csv")
    read = read_design(spec.encode(), "robots/wren.yaml", "robot", "wren")
    assert read.record is not None, read.problems
    return read.record.parts


def refused(text: str):
    with pytest.raises(BadInput) as caught:
        design_from_parts("robot", "wren", text.encode(), "parts.csv")
    assert {problem.code for problem in caught.value.problems} == {"parts-list"}
    return [(p.place.line, p.place.column, p.what) for p in caught.value.problems]


def test_names_counts_masses_and_the_unit_of_the_head_are_taken():
    parts = made("Part,Qty,Mass (g),Role,Bought as\nLid,1,20.5,chassis,\nMotor L,2,41,drive,22 mm motor\n")
    assert list(parts) == ["lid", "motor-l"]
    assert (parts["lid"].mass.text, parts["lid"].count, parts["lid"].role) == ("20.5 g", 1, "chassis")
    assert (parts["motor-l"].count, parts["motor-l"].item) == (2, "22 mm motor")


@pytest.mark.parametrize("head", ["mass (g)", "Mass [G]", "weight in g", "mass/g", "mass g"])
def test_the_unit_may_stand_in_the_head_in_any_usual_way(head):
    assert made(f"name;{head}\nlid;20\n")["lid"].mass.text == "20 g"


def test_a_unit_in_the_cell_comes_before_that_of_the_head():
    assert made("name\tmass (oz)\nlid\t20 g\n")["lid"].mass.quantity.value == 20.0


def test_names_are_made_by_the_rules_and_kept_apart():
    parts = made('name,mass (g)\nÄrmel 2",1\nlid,1\nLid,1\nlid-2,1\n22 mm hub,1\n!!,1\n' + "x" * 60 + ",1\n")
    assert list(parts) == ["rmel-2", "lid", "lid-2", "lid-2-2", "part-22-mm-hub", "part", "x" * 36]


def test_text_that_yaml_would_take_for_something_else_is_quoted():
    assert made('name,mass (g),note\nlid,1,no\nbox,2,"a: b, c #4"\n')["box"].note == "a: b, c #4"


def test_a_byte_order_mark_empty_lines_and_short_rows_do_not_matter():
    parts = made("\ufeffname,mass (g),role\n\nlid,20\n,,\nbox,5,power\n")
    assert (list(parts), parts["lid"].role) == (["lid", "box"], None)


def test_everything_that_is_wrong_is_told_at_once_with_its_line_and_column():
    found = refused("name,qty,mass (g)\nlid,two,20\nbox,1,\narm,1,heavy\n")
    assert [(line, column) for line, column, _ in found] == [(2, 2), (3, 3), (4, 3)]
    assert found[1][2] == "this part has no mass"


def test_without_heads_that_say_what_is_what_nothing_is_guessed():
    assert [what for _, _, what in refused("lid,20\nbox,5\n")] == [
        "no column is headed name",
        "no column is headed mass",
    ]
    assert refused("name,mass\n")[0][2] == "there are no parts in this list"


def test_a_mass_without_any_unit_is_refused():
    assert len(refused("name,mass\nlid,20\n")) == 1


def test_a_role_that_is_none_is_refused_with_the_nearest():
    assert refused("name,mass (g),role\nlid,20,chasis\n") == [(2, 3, "`chasis` is no role")]
