"""`--with`: a builder asks what would be, and nothing of the family changes by it."""

import pytest

from tests.builders import ROBOT, SMALL, GitFamily
from tests.program import files_of, fine, lineage


@pytest.fixture
def family(tmp_path):
    made = GitFamily(tmp_path / "waders", {**SMALL, "files/radio.txt": "one"})
    made.write({"robots/avocet.yaml": ROBOT + "files: [files/radio.txt]\n"})
    fine(made.root, "record", "avocet", "A", "--on", "2026-03-01")
    made.write({"files/radio.txt": "two"})
    return made


def test_a_card_answers_for_a_changed_spec_and_says_so(family):
    today = fine(family.root, "card", "avocet", "--json").json["weight"]["predicted_g"]["value"]
    answer = fine(family.root, "card", "avocet", "--with", "lid.count=2", "--json").json
    assert answer["build"] == "now with lid.count=2"
    assert answer["weight"]["predicted_g"]["value"] == pytest.approx(today + 36)
    assert (
        "what would be; nothing is written"
        in fine(family.root, "card", "avocet", "--with", "lid.count=2").out
    )


def test_an_older_build_is_compared_with_itself_but_for_what_was_asked(family):
    answer = fine(family.root, "compare", "avocet@A", "avocet@A", "--with", "lid.count=2", "--json").json
    (pair,) = answer["pairs"]
    assert [change["id"] for change in pair["changes"]] == ["count:lid"]
    assert pair["totals"]["mass_g"]["change"] == pytest.approx(36)


def test_nothing_is_written_and_nothing_committed(family):
    before = files_of(family.root)
    for words in (("card", "avocet"), ("compare", "avocet", "avocet")):
        fine(family.root, *words, "--with", "lid.count=4")
    assert files_of(family.root) == before


def test_what_names_nothing_is_asked_wrongly(family):
    answer = lineage(family.root, "card", "avocet", "--with", "lyd.count=2")
    assert answer.status == 2
    assert "did you mean lid.count?" in answer.err
