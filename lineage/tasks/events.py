"""Events by what people call them."""

from collections.abc import Mapping

from lineage.problems import AskedWrongly, BadInput
from lineage.spec.records import Event
from lineage.tasks.workspace import Workspace


def event_named(workspace: Workspace, asked: str) -> Event:
    """An event of a family by its file's name, or by a title or part of a name that only one has."""
    events = workspace.events
    problems = workspace.left_out.get(f"events/{asked}.yaml")
    if problems is not None:
        raise BadInput(problems)
    return event_among(events, asked)


def event_among(events: Mapping[str, Event], asked: str) -> Event:
    """One of some events. Raises AskedWrongly with those there are."""
    if asked in events:
        return events[asked]
    wanted = asked.casefold()
    alike = [e for e in events.values() if wanted in {e.title.casefold(), e.name[11:].casefold()}]
    alike = alike or [
        e for e in events.values() if wanted and (wanted in e.name.casefold() or wanted in e.title.casefold())
    ]
    if len(alike) == 1:
        return alike[0]
    known = ", ".join(e.name for e in alike or events.values()) or "none yet"
    raise AskedWrongly(
        f"{'no' if not alike else 'more than one'} event is called {asked!r}",
        f"one of: {known}",
        "lineage add event YYYY-MM-DD-name makes one",
    )
