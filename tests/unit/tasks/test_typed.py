"""What a tired person types in the pits becomes the keys of an entry, kept as truthfully as can be."""

import pytest

from lineage.problems import AskedWrongly
from lineage.tasks.typed import damage_from, one_or_list, readings_from, snag_from, units_of


@pytest.mark.parametrize(
    ("typed", "readings"),
    [
        ("1352 g", ["1352 g"]),
        ("21.4 N 21.9 N", ["21.4 N", "21.9 N"]),
        ("21.4N 21.9N", ["21.4N", "21.9N"]),
        ("-0.2 mm", ["-0.2 mm"]),
        ("1.2 mm -0.2 mm", ["1.2 mm", "-0.2 mm"]),
        ("1 1/4 in", ["1 1/4 in"]),
        ("21.4 N ± 0.2 N 22 N", ["21.4 N ± 0.2 N", "22 N"]),
        ("21.4 N +0.2/-0.1 22 N", ["21.4 N +0.2/-0.1", "22 N"]),
        ("95 s 2:10", ["95 s", "2:10"]),
        ("2:10 2:20", ["2:10", "2:20"]),
        ("30 % 31 %", ["30 %", "31 %"]),
        ("", []),
    ],
)
def test_readings_follow_number_and_unit_apart_or_together(typed, readings):
    assert readings_from(typed.split()) == readings


@pytest.mark.parametrize(
    ("readings", "units"),
    [
        (["3 lb", "2 oz"], ("lb", "oz")),
        (["21.4 N ± 0.2 N", "22N"], ("N",)),
        (["1 1/4 in"], ("in",)),
        (["1352 ± 2 g", "1353 g"], ("g",)),
        (["95 s", "2:10"], ("s",)),
        (["30 %", "31%"], ("%",)),
        (["3 N m"], ("N m",)),
        (["1352 g +0.2/-0.1", "1 g"], ("g",)),
        ([], ()),
    ],
)
def test_units_of_readings_are_told_apart(readings, units):
    assert units_of(readings) == units


def test_one_reading_stands_alone_and_several_as_a_list():
    assert one_or_list([]) is None
    assert one_or_list(["1 g"]) == "1 g"
    assert one_or_list(["1 g", "2 g"]) == ["1 g", "2 g"]


@pytest.mark.parametrize(
    ("typed", "damage"),
    [
        (
            "drive-left.gearbox: teeth stripped, disabling, 12 min",
            {"at": "drive-left.gearbox", "mode": "teeth stripped", "severity": "disabling", "took": "12 min"},
        ),
        ("lid: bent, cost the bout", {"at": "lid", "mode": "bent", "cost_bout": "yes"}),
        ("lid: bent, then broke", {"at": "lid", "mode": "bent, then broke"}),
        (
            "lid: Cosmetic, scratched, 2:10",
            {"at": "lid", "mode": "scratched", "severity": "cosmetic", "took": "2:10"},
        ),
        ("lid bent", {"at": "lid", "mode": "bent"}),
        ("lid", {"at": "lid", "mode": "broke"}),
        (": bent", {"at": "not said", "mode": "bent"}),
        ("lid: bent, 5 min, 6 min", {"at": "lid", "mode": "bent, 6 min", "took": "5 min"}),
        ("lid: weakened, disabling", {"at": "lid", "mode": "disabling", "severity": "weakened"}),
    ],
)
def test_damage_is_a_place_then_words_a_time_and_a_severity(typed, damage):
    found, _ = damage_from(typed)
    assert found == damage


def test_a_word_that_looks_like_a_severity_is_kept_as_what_broke_and_said():
    found, said = damage_from("lid: disabeling")
    assert found == {"at": "lid", "mode": "disabeling"}
    assert said == ["'disabeling' was kept as what broke; if it was meant as the severity, write disabling"]
    assert damage_from("lid: bent, disabling")[1] == []


def test_a_snag_may_lack_its_place_and_its_time_but_not_what_went_wrong():
    assert snag_from("power-tray.box: glue let go, 2 h") == {
        "at": "power-tray.box",
        "mode": "glue let go",
        "took": "2 h",
    }
    assert snag_from("glue let go") == {"mode": "glue let go"}
    with pytest.raises(AskedWrongly, match="does not say what went wrong"):
        snag_from("lid: 2 h")
