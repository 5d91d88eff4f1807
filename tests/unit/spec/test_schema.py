"""JSON schema: valid, made from the key tables, and never stricter than the reader."""

import json

import pytest
from jsonschema import Draft202012Validator

from lineage.spec import bout_file, design_file, family_file
from lineage.spec.schema import FILE_KINDS, schema_for


def errors(kind, data):
    return [error.message for error in Draft202012Validator(schema_for(kind)).iter_errors(data)]


@pytest.mark.parametrize("kind", FILE_KINDS)
def test_every_schema_is_one(kind):
    schema = schema_for(kind)
    Draft202012Validator.check_schema(schema)
    assert schema["title"] == kind
    assert json.loads(json.dumps(schema)) == schema


@pytest.mark.parametrize(
    ("kind", "table"),
    [("family", family_file.FAMILY), ("robot", design_file.ROBOT), ("module", design_file.MODULE)],
)
def test_every_key_of_a_table_is_in_its_schema_with_its_line(kind, table):
    properties = schema_for(kind)["$defs"][table.title]["properties"]
    assert {name: p["description"] for name, p in properties.items()} == {
        key.name: key.about for key in table.keys
    }


def test_required_and_unknown_keys_are_told():
    assert errors("robot", {"title": "a"}) == ["'robot' is a required property"]
    assert len(errors("robot", {"robot": "a", "colour": "red"})) == 1
    assert errors("robot", {"robot": "a", "x-colour": ["red"]}) == []


def test_texts_that_look_like_something_else_are_texts():
    assert errors("robot", {"robot": "a", "title": 1.1, "about": True, "next": 5}) == []
    assert errors("robot", {"robot": "a", "title": ["b"]})


def test_counts_may_be_quoted_and_are_bounded():
    assert errors("robot", {"robot": "a", "drive": {"motors": 2}}) == []
    assert errors("robot", {"robot": "a", "drive": {"motors": "2"}}) == []
    assert errors("robot", {"robot": "a", "drive": {"motors": 0}})
    assert errors("robot", {"robot": "a", "drive": {"motors": 1.5}})


def test_names_keep_their_rule():
    assert errors("robot", {"robot": "a", "parts": {"Side": {"mass": "1 g"}}})
    assert errors("robot", {"robot": "a", "modules": {"pod": "drive-pod"}})
    assert errors("robot", {"robot": "a", "modules": {"pod": "drive-pod@B"}}) == []


def test_entries_of_a_log_are_of_any_kind():
    entries = [
        {"on": "2025-03-01", "kind": "mass", "is": "3 g"},
        {"on": "2025-03-01", "kind": "trial", "of": "a", "passed": 3, "tries": 5},
        {"withdrawn": "yes", "instead_of": "0123456789"},
    ]
    assert errors("results", entries) == []
    assert errors("results", [{"on": "2025-03-01", "kind": "mass"}])
    assert errors("bouts", [{"robot": "a", "bout": 3, "fought": False}]) == []
    assert errors("bouts", [{"bout": 3}])


def test_keys_of_bouts_have_their_line():
    properties = schema_for("bouts")["$defs"]["bout"]["properties"]
    assert set(properties) == {key.name for key in bout_file.BOUT.keys}
