"""The first page of a site, and the page that stands where one could not be made."""

from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType

from msgspec import Struct

from lineage.drawings.sketch import Sketch
from lineage.problems import BadInput, LineageError
from lineage.reports.pages.check import refused_drawings
from lineage.reports.pages.family import family_answer
from lineage.reports.pages.methods import METHODS
from lineage.reports.pages.records import Line, Page, Section, Verdict, filled, tables
from lineage.reports.pages.tables import Content, Entries, Head, Linked, Table, table
from lineage.reports.views.family import DesignView, FamilyView


class Listed(Struct, frozen=True, kw_only=True):
    """A page as the list of all pages shows it; `found` is what a search looks through besides."""

    href: str
    title: str
    kind: str
    found: str


class Group(Struct, frozen=True, kw_only=True):
    """Pages that are listed together."""

    name: str
    pages: tuple[Listed, ...]


def index_page(view: FamilyView, events: Sequence[tuple[str, str]]) -> Page:
    """Where everything is: events with their reports, designs with their cards and comparisons."""
    verdict, answers = family_answer(view)
    return Page(
        kind="All pages",
        title=view.title,
        block=(
            Line(name="the family", said="calendar, who lags", to="family"),
            Line(name="guide", said="how to, and how figures are worked out", to="guide"),
            *(Line(name="last event", said=title, to=name) for name, title in events[-1:]),
        ),
        verdict=verdict,
        answers=answers,
        cautions=(),
        sections=filled(
            Section(title="Events", name="events", tables=tables(_events(view, events))),
            Section(title="Robots", name="robots", tables=tables(_designs(view, "robot"))),
            Section(title="Modules", name="modules", tables=tables(_designs(view, "module"))),
        ),
        methods=METHODS,
    )


def _events(view: FamilyView, events: Sequence[tuple[str, str]]) -> Table | None:
    rows: list[list[Content]] = [
        [
            Linked(title, name),
            name[:10],
            Entries(
                (),
                tuple(
                    Linked(
                        f"{d.name}@{d.events[name]}" if d.events[name] else d.name,
                        f"{d.name}@{d.events[name]}",
                    )
                    for d in view.designs
                    if name in d.events
                ),
            ),
            Linked("paper for the pits", f"form {name}"),
        ]
        for name, title in reversed(events)
    ]
    return table(
        "Reports after events", [Head("event"), Head("on", "word"), Head("with"), Head("to print")], rows
    )


def _designs(view: FamilyView, kind: str) -> Table | None:
    rows = [_design(design) for design in view.designs if design.kind == kind]
    heads = [
        Head("design", "ref"),
        Head("cards"),
        Head("from build to build"),
        Head("work"),
        Head("working file"),
    ]
    return table("Builds, comparisons and work lists", heads, rows)


def _design(design: DesignView) -> list[Content]:
    labels = {build.label for build in design.builds}
    cards = tuple(Linked(f"{b.label}  {b.on}", f"{design.name}@{b.label}") for b in reversed(design.builds))
    steps = tuple(
        Linked(f"{b.before} → {b.label}", f"{design.name}@{b.before} {design.name}@{b.label}")
        for b in reversed(design.builds)
        if b.before in labels
    )
    work = [Linked("to do", f"todo {design.name}")] if design.now is not None else []
    if design.kind == "robot" and design.builds:
        work.append(Linked("to pack", f"spares {design.name}"))
    return [
        Linked(design.name, design.name),
        Entries((), cards),
        Entries((), steps),
        Entries((), tuple(work)),
        design.now or "none",
    ]


def unreadable_page(
    title: str, kind: str, error: LineageError, sketches: Mapping[str, Sketch] = MappingProxyType({})
) -> Page:
    """A page that says why it could not be made, at its own address, with the drawings that are refused."""
    return Page(
        kind=kind,
        title=title,
        block=(),
        verdict=Verdict(
            tone="bad",
            word="This page cannot be made",
            said="files that it needs cannot be read",
            do=("lineage check says everything that is wrong, and how to mend it.",),
        ),
        answers=(),
        cautions=(),
        sections=filled(
            Section(title="What is wrong", name="wrong", items=tuple(_faults(error))),
            refused_drawings(sketches),
        ),
        methods=METHODS,
    )


def _faults(error: LineageError) -> Iterator[str]:
    if isinstance(error, BadInput):
        for problem in error.problems:
            place = problem.place
            yield f"{place.file}:{place.line}:{place.column}: {problem.what}; {problem.wanted}; {problem.mend}"
    else:
        yield str(error)
