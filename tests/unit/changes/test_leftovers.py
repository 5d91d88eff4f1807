"""What differs inside nested free text is said leaf by leaf."""

import sys

import pytest

from lineage.changes.leftovers import MOST_NAMED, nested_difference


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [
        ({"walls": 3, "infill": "20 %"}, {"walls": 4, "infill": "20 %"}, "walls: 3 → 4"),
        ({"a": 1}, {"a": 1, "b": True}, "b: yes added"),
        ({"a": 1, "b": {"c": 0.5}}, {"a": 1}, "b: c 0.5 dropped"),
        ({"paint": ["red", "blue"]}, {"paint": ["red", "green"]}, "paint no. 2: blue → green"),
        ({"_own": {"a": 1}}, {"_own": {"a": 2}}, "_own a: 1 → 2"),
        ({"a": {"b": 1}}, {"a": [1]}, "a: b 1 → 1"),
        ([1, 2], [1], "no. 2: 2 dropped"),
        ({"a": "1"}, {"a": 1}, "a: 1 → 1"),
    ],
)
def test_the_leaf_that_differs_is_named_with_both_values(before, after, said):
    assert nested_difference(before, after) == said


def test_a_whole_number_and_its_decimal_are_one_number():
    assert nested_difference({"gauge": [22]}, {"gauge": [22.0]}) is None


def test_what_is_not_nested_or_equal_has_nothing_inside():
    assert nested_difference("red", "blue") is None
    assert nested_difference({"a": 1}, "a 1") is None
    assert nested_difference({"a": [1]}, {"a": [1]}) is None


def test_beyond_a_few_leaves_the_rest_are_counted():
    before = dict.fromkeys("abcdef", 1)
    said = nested_difference(before, dict.fromkeys(before, 2))
    assert said == "a: 1 → 2; b: 1 → 2; c: 1 → 2; 3 more"
    assert said.count("→") == MOST_NAMED


def test_changes_load_the_library_only_when_something_nested_differs():
    code = (
        "import sys; from tests.in_memory import the_change\n"
        "base = 'robot: wren\\nparts: {lid: {mass: %s}}\\n'\n"
        "the_change(base % '20 g', base % '21 g'); assert 'deepdiff' not in sys.modules\n"
    )
    import subprocess

    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
