"""All pages of a family into one folder."""

from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

from lineage.reports.to_html import card_html, compare_html, lessons_html, todo_html
from lineage.spec.records import BuildRef
from lineage.tasks.card import card
from lineage.tasks.compare import compare
from lineage.tasks.lessons import lessons
from lineage.tasks.pictures import card_pictures, compare_pictures
from lineage.tasks.states import Asker, State
from lineage.tasks.todo import todo
from lineage.tasks.workspace import open_family


def write_pages(family: Path, folder: Path) -> tuple[str, ...]:
    """Cards, comparisons, lessons and work lists; names of the pages written."""
    folder.mkdir(parents=True, exist_ok=True)
    names = []
    for name, content in _pages(family):
        (folder / name).write_text(content, encoding="utf-8")
        names.append(name)
    return tuple(names)


def _pages(family: Path) -> Iterator[tuple[str, str]]:
    asker = Asker(open_family(family))
    workspace = asker.workspace
    robots = [name for name in workspace.designs if workspace.kind(name) == "robot"]
    for event in reversed(tuple(workspace.events.values())):
        yield f"lessons-{event.name}.html", lessons_html(lessons(workspace, event))
    for design in workspace.designs:
        labels = workspace.labels(design)
        states = [State(asker.amounts, BuildRef(design, label)) for label in labels]
        for state in states:
            yield f"card-{design}-{state.label}.html", card_html(card(state), **card_pictures(state))
        for before, after in pairwise(states):
            name = f"compare-{design}-{before.label}-{after.label}.html"
            yield name, compare_html(compare([before, after]), **compare_pictures([before, after]))
        if workspace.designs[design]:
            yield f"todo-{design}.html", todo_html(todo(asker, (design,)))
    for one, other in pairwise(robots):
        name = f"compare-{one}-{other}.html"
        yield name, compare_html(compare([asker.last_build(one), asker.last_build(other)]))
