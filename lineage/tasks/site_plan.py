"""What pages a family has, at which addresses, what links stand around each, and how each is made."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cached_property
from itertools import pairwise
from typing import Any, Literal

from msgspec import Struct

from lineage.archive.inputs import id_of
from lineage.reports.pages.records import Page
from lineage.reports.site import Link, Row, address
from lineage.reports.views.family import FamilyView
from lineage.spec.records import BuildRef, Event
from lineage.tasks.guide import guide_index, guide_page, topics
from lineage.tasks.states import Asker, State

Inputs = Literal["logged", "everything", "program"]
Made = tuple[str, Page, Mapping[str, Any]]
"""A template, the page to fill it with, and what else it wants."""


class Planned(Struct, frozen=True, kw_only=True):
    """A page that will be there: `inputs` is what it is made from, `key` what leads to it (see Linked)."""

    name: str
    title: str
    kind: str
    group: str
    inputs: Inputs
    make: Callable[[], Made]
    key: str = ""


class Plan:
    """All pages of a family but the first one, which lists them."""

    def __init__(self, asker: Asker) -> None:
        self.asker, self.workspace = asker, asker.workspace
        self.events = tuple(self.workspace.events.values())
        self.pages = tuple(self._pages())
        self.links: Mapping[str, str] = {p.key: address(p.name) for p in self.pages if p.key}

    def _pages(self) -> Iterator[Planned]:
        yield self._family()
        for event in reversed(self.events):
            yield self._lessons(event)
            yield self._form(event)
        for design in self.workspace.designs:
            yield from self._design(design)
        yield from self._siblings()
        yield from self._guide()

    @cached_property
    def links_id(self) -> str:
        """One id of where all links lead."""
        return id_of(repr(sorted(self.links.items())))

    @cached_property
    def family(self) -> FamilyView:
        """The whole family, which two pages show."""
        from lineage.tasks.family import family  # noqa: PLC0415

        return family(self.asker)

    # --- one of each -------------------------------------------------------------------------------------

    def _family(self) -> Planned:
        def make() -> Made:
            from lineage.reports.pages.family import family_page  # noqa: PLC0415 - what is not made is not loaded

            return "family.html.j2", family_page(self.family), {}

        return Planned(
            name="family.html", title="The whole family", kind="calendar, who lags", group="Family",
            inputs="everything", make=make, key="family",
        )  # fmt: skip

    def _lessons(self, event: Event) -> Planned:
        def make() -> Made:
            from lineage.reports.pages.lessons import lessons_page  # noqa: PLC0415
            from lineage.tasks.lessons import lessons  # noqa: PLC0415

            return "lessons.html.j2", lessons_page(lessons(self.workspace, event)), {}

        return Planned(
            name=f"lessons-{event.name}.html", title=event.title, kind=f"report, {event.first_day}", group="Events",
            inputs="everything", make=make, key=event.name,
        )  # fmt: skip

    def _form(self, event: Event) -> Planned:
        def make() -> Made:
            from lineage.reports.pages.form import HARMS, form_page  # noqa: PLC0415
            from lineage.tasks.form import form  # noqa: PLC0415

            view = form(self.asker, event)
            page, sheets = form_page(view)
            return "form.html.j2", page, {"sheets": sheets, "bouts": view.bouts, "harms": HARMS}

        return Planned(
            name=f"form-{event.name}.html", title=event.title, kind=f"paper for the pits, {event.first_day}",
            group="Events", inputs="everything", make=make, key=f"form {event.name}",
        )  # fmt: skip

    # --- a design ----------------------------------------------------------------------------------------

    def _design(self, design: str) -> Iterator[Planned]:
        labels = self.workspace.labels(design)
        yield self._history(design)
        if self.workspace.designs[design]:
            yield self._todo(design)
        if labels and self.workspace.kind(design) == "robot":
            yield self._spares(design)
        for label in reversed(labels):
            yield self._card(design, label)
        for label in reversed(labels):
            before = self.workspace.record_of(BuildRef(design, label)).before
            if before is not None and before in labels:
                yield self._step(design, before, label)

    def _history(self, design: str) -> Planned:
        def make() -> Made:
            from lineage.reports.pages.history import history_page  # noqa: PLC0415
            from lineage.tasks.history import history  # noqa: PLC0415

            return "history.html.j2", history_page(history(self.asker, design)), {}

        return Planned(
            name=f"history-{design}.html", title=design, kind="history", group=design,
            inputs="everything", make=make, key=design,
        )  # fmt: skip

    def _todo(self, design: str) -> Planned:
        def make() -> Made:
            from lineage.reports.pages.todo import todo_page  # noqa: PLC0415
            from lineage.tasks.todo import todo  # noqa: PLC0415

            return "todo.html.j2", todo_page(todo(self.asker, (design,))), {}

        return Planned(
            name=f"todo-{design}.html", title=f"{design}: to do", kind="work list", group=design,
            inputs="everything", make=make, key=f"todo {design}",
        )  # fmt: skip

    def _spares(self, design: str) -> Planned:
        def make() -> Made:
            from lineage.reports.pages.spares import spares_page  # noqa: PLC0415
            from lineage.tasks.form import BOUTS  # noqa: PLC0415
            from lineage.tasks.spares import spares  # noqa: PLC0415

            return "spares.html.j2", spares_page(spares(self.workspace, design, BOUTS)), {}

        return Planned(
            name=f"spares-{design}.html", title=f"{design}: to pack", kind="spares", group=design,
            inputs="logged", make=make, key=f"spares {design}",
        )  # fmt: skip

    def _card(self, design: str, label: str) -> Planned:
        def make() -> Made:
            from lineage.reports.pages.card import card_page  # noqa: PLC0415
            from lineage.tasks.card import card  # noqa: PLC0415
            from lineage.tasks.pictures import card_pictures  # noqa: PLC0415

            state = self._state(design, label)
            return "card.html.j2", card_page(card(state), **card_pictures(state)), {}

        return Planned(
            name=f"card-{design}@{label}.html", title=f"{design}@{label}", kind="card", group=design,
            inputs="logged", make=make, key=f"{design}@{label}",
        )  # fmt: skip

    def _step(self, design: str, before: str, after: str) -> Planned:
        return self._comparison(
            f"compare-{design}@{before}_{after}.html",
            f"{design}@{before} → {after}",
            (BuildRef(design, before), BuildRef(design, after)),
            design,
        )

    def _siblings(self) -> Iterator[Planned]:
        """Each robot beside the next, as their last builds are."""
        names = [name for name in self.workspace.designs if self.workspace.kind(name) == "robot"]
        for pair in pairwise(ref for name in names if (ref := self.workspace.last(name)) is not None):
            one, other = (ref.design for ref in pair)
            yield self._comparison(f"compare-{one}_{other}.html", f"{one} · {other}", pair, "Siblings")

    def _comparison(self, name: str, title: str, refs: tuple[BuildRef, BuildRef], group: str) -> Planned:
        def make() -> Made:
            from lineage.reports.pages.compare import compare_page  # noqa: PLC0415
            from lineage.tasks.compare import compare  # noqa: PLC0415
            from lineage.tasks.pictures import compare_pictures  # noqa: PLC0415

            states = [self._state(ref.design, ref.label) for ref in refs]
            return "compare.html.j2", compare_page(compare(states), **compare_pictures(states)), {}

        return Planned(
            name=name, title=title, kind="comparison", group=group, inputs="logged", make=make,
            key=f"{refs[0]} {refs[1]}",
        )  # fmt: skip

    def _state(self, design: str, label: str) -> State:
        return State(self.asker.amounts, BuildRef(design, label))

    def _guide(self) -> Iterator[Planned]:
        def make_index() -> Made:
            return guide_index()

        yield Planned(
            name="guide.html",
            title="Guide",
            kind="how to",
            group="Guide",
            inputs="program",
            make=make_index,
            key="guide",
        )
        for topic, title in topics().items():

            def make(topic: str = topic) -> Made:
                return guide_page(topic)

            yield Planned(
                name=f"guide-{topic}.html", title=title, kind="guide", group="Guide", inputs="program", make=make,
                key=f"guide {topic}",
            )  # fmt: skip

    # --- around a page -----------------------------------------------------------------------------------

    def around(self, planned: Planned | None) -> tuple[Row, ...]:
        """Rows of links: the family's own, then those of what the page is about."""
        here = "index.html" if planned is None else planned.name
        first = [_link("all pages", "index.html", here), _link("family", "family.html", here)]
        if self.events:
            last = self.events[-1]
            first.append(_link(last.title, f"lessons-{last.name}.html", here))
        first.append(_link("guide", "guide.html", here))
        rows = [Row(name="", links=tuple(first))]
        if planned is not None and planned.group != "Family":
            rows.append(Row(name=planned.group, links=tuple(self._beside(planned))))
        return tuple(rows)

    def _beside(self, planned: Planned) -> Iterator[Link]:
        for other in self.pages:
            if other.group == planned.group and not _is_step(other, planned) and _is_own(other, planned):
                yield _link(_short(other), other.name, planned.name)


def _is_step(other: Planned, here: Planned) -> bool:
    """Comparisons of a design stand around its comparisons alone: cards are where one comes from."""
    return other.kind == "comparison" and here.kind != "comparison" and other.group == here.group


def _is_own(other: Planned, here: Planned) -> bool:
    """Of the papers for the pits only that of the event itself stands around its report."""
    return not other.key.startswith("form ") or other.key.endswith(here.key.removeprefix("form "))


def _short(page: Planned) -> str:
    """A page among those of its design: only what tells it from them."""
    if page.kind == "card":
        return page.title.partition("@")[2]
    if page.kind == "comparison" and "@" in page.title:
        return page.title.partition("@")[2]
    if page.group == "Events":
        return page.title if page.kind.startswith("report") else "paper"
    if page.kind in {"history", "spares"}:
        return {"history": "history", "spares": "to pack"}[page.kind]
    return "to do" if page.kind == "work list" else page.title


def _link(text: str, name: str, here: str) -> Link:
    return Link(text=text, href=address(name), is_here=name == here)


def titles(events: Sequence[Event]) -> tuple[tuple[str, str], ...]:
    """Names and titles of events."""
    return tuple((event.name, event.title) for event in events)
