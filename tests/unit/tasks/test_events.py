"""Events by what people call them: refused where nobody, or more than one, is called so."""

import pytest

from lineage.problems import AskedWrongly
from lineage.tasks.events import event_named
from tests.in_memory import InMemory

FILES = {
    "events/2025-05-01-reed-bowl.yaml": "event: Reed Bowl\n",
    "events/2025-09-01-reed-cup.yaml": "event: Reed Cup\n",
    "events/2026-05-01-marsh.yaml": "event: Marsh\n",
}


@pytest.fixture(scope="module")
def workspace():
    return InMemory(FILES).workspace()


@pytest.mark.parametrize("asked", ["2025-09-01-reed-cup", "Reed Cup", "reed-cup", "CUP"])
def test_a_name_a_title_or_a_part_that_only_one_has_will_do(workspace, asked):
    assert event_named(workspace, asked).title == "Reed Cup"


@pytest.mark.parametrize(
    ("asked", "what", "offered"),
    [
        ("reed", "more than one event is called 'reed'", "one of: 2025-05-01-reed-bowl, 2025-09-01-reed-cup"),
        ("", "no event is called ''", "one of: 2025-05-01-reed-bowl, 2025-09-01-reed-cup, 2026-05-01-marsh"),
    ],
)
def test_what_nobody_or_more_than_one_is_called_offers_those_that_it_may_be(workspace, asked, what, offered):
    with pytest.raises(AskedWrongly) as refused:
        event_named(workspace, asked)
    assert (refused.value.what, refused.value.wanted) == (what, offered)
