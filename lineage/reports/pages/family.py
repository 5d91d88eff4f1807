"""The whole family as a page: a calendar first, then who grew from whom, who lags, what was learned."""

from collections import Counter
from collections.abc import Iterator, Sequence

from lineage.reports import said
from lineage.reports.charts.family_lines import family_lines
from lineage.reports.pages.history import grown_from
from lineage.reports.pages.lessons import lesson_tone
from lineage.reports.pages.methods import METHODS
from lineage.reports.pages.records import Line, Page, Section, Verdict, filled, tables
from lineage.reports.pages.siblings import moving_on
from lineage.reports.pages.tables import Content, Entries, Head, Linked, Table, table
from lineage.reports.views.family import BuildView, DesignView, FamilyView, TallyView, UseView

_SINCE = "9999"  # after every event


def family_page(view: FamilyView) -> Page:
    """Everything about a family at once."""
    verdict, answers = family_answer(view)
    return Page(
        kind="Family",
        title=view.title,
        block=tuple(_block(view)),
        verdict=verdict,
        answers=answers,
        cautions=(),
        sections=filled(
            Section(title="Calendar", name="calendar", tables=tables(_calendar(view)), method="calendar"),
            _grown(view),
            Section(title="Designs", name="designs", tables=tables(_designs(view))),
            Section(title="Shared modules", name="modules", tables=tables(_uses(view)), method="lags"),
            moving_on(view.behind),
            _lessons(view),
            Section(
                title="Snags that keep coming back",
                name="snags",
                tables=tables(_snags(view)),
                method="bench" if view.snags else None,
            ),
            Section(title="Changes by kind", name="kinds", tables=tables(_tally(view)), method="tally"),
            Section(title="Sheet in use", name="sheet", tables=tables(_sheet(view)), method="sheet"),
            Section(title="Meant next", name="next", tables=tables(_next(view))),
        ),
        methods=METHODS,
    )


def family_answer(view: FamilyView) -> tuple[Verdict, tuple[Line, ...]]:
    """What wants looking after in the whole family, the worst first."""
    return _verdict(view), tuple(_answers(view))


def _block(view: FamilyView) -> Iterator[Line]:
    kinds = Counter(design.kind for design in view.designs)
    yield Line(name="robots", said=str(kinds["robot"]))
    yield Line(name="modules", said=str(kinds["module"]))
    yield Line(name="builds", said=str(sum(len(design.builds) for design in view.designs)))
    yield Line(name="events", said=str(len(view.events)))


def _verdict(view: FamilyView) -> Verdict:
    back = [lesson for lesson in view.lessons if lesson.state == "came back"]
    if back:
        names = ", ".join(lesson.name for lesson in back)
        return Verdict(tone="bad", word=f"{said.whole(len(back), 'lesson')} came back", said=names)
    behind = _behind(view.uses)
    if behind:
        count = said.whole(len(behind), "design uses an old build", "designs use an old build")
        return Verdict(tone="open", word=f"{count} of a module", said=", ".join(behind))
    if not view.designs:
        return Verdict(tone="open", word="No design yet", said="", do=("lineage add robot NAME begins one.",))
    return Verdict(tone="good", word="Nobody lags", said="no lesson came back")


def _behind(uses: Sequence[UseView]) -> dict[str, dict[str, int]]:
    """Designs that use an old build of a module: module → how many builds behind."""
    found: dict[str, dict[str, int]] = {}
    for use in uses:
        if use.lags:
            found.setdefault(use.design, {})[f"{use.module}@{use.label}"] = use.lags
    return found


def _answers(view: FamilyView) -> Iterator[Line]:
    for design, lags in _behind(view.uses).items():
        told = ", ".join(f"{module} {said.whole(by, 'build')} behind" for module, by in lags.items())
        yield Line(name=f"{design} lags", said=told, tone="open", to=design)
    changed = [design.name for design in view.designs if design.now == "changed"]
    if changed:
        yield Line(name="working file changed since the last build", said=", ".join(changed), tone="open")


# --- calendar --------------------------------------------------------------------------------------------


def _calendar(view: FamilyView) -> Table | None:
    """A row a design, a column an event, and one for what was recorded after the last."""
    rows: list[list[Content]] = []
    for design in view.designs:
        if not design.builds and not design.events:
            continue
        row: list[Content] = [Linked(design.name, design.name)]
        row += [_at_event(design, event, view.events) for event in view.events]
        row.append(Entries((), tuple(_recorded(design, _SINCE, view.events))))
        rows.append(row)
    heads = [Head("design", "ref")]
    heads += [Head(event[11:], "text", event[:10], to=event) for event in view.events]
    return table("Who went with what, and what was recorded before", [*heads, Head("since")], rows)


def _at_event(design: DesignView, event: str, events: Sequence[str]) -> Entries:
    recorded = tuple(_recorded(design, event, events))
    if event not in design.events:
        return Entries((), recorded)
    label = design.events[event]
    if label is None:
        return Entries((Linked("build not said", ""),), recorded)
    went = Linked(label, f"{design.name}@{label}")
    build = next((build for build in design.builds if build.label == label), None)
    uses = () if build is None else build.uses
    others = (build for build in recorded if build.to != went.to)
    return Entries((went,), (*(Linked(use, use) for use in uses), *others))


def _recorded(design: DesignView, event: str, events: Sequence[str]) -> Iterator[Linked]:
    for build in design.builds:
        if _event_after(build, events) == event:
            yield Linked(f"{build.label} recorded {build.on}", f"{design.name}@{build.label}")


def _event_after(build: BuildView, events: Sequence[str]) -> str:
    """The first event on or after the day of a build: names of events begin with their first day."""
    return next((event for event in events if build.on <= event[:10]), _SINCE)


# --- kinship, modules ------------------------------------------------------------------------------------


def _grown(view: FamilyView) -> Section:
    lines = [
        Line(name=design.name, said=f"grew from {_grew(design)}", to=design.from_)
        for design in view.designs
        if design.from_
    ]
    lines += [
        Line(
            name=f"{design.name}@{build.label}",
            said=f"a branch from {build.before}, beside {', '.join(build.beside)}",
            to=f"{design.name}@{build.label}",
        )
        for design in view.designs
        for build in design.builds
        if build.beside
    ]
    lanes = family_lines(view)
    return Section(
        title="Who grew from whom",
        name="grown",
        lines=tuple(lines),
        lanes=() if lanes is None else (lanes,),
    )


def _grew(design: DesignView) -> str:
    return design.from_ or "" if design.grew is None else grown_from(design.grew)


def _designs(view: FamilyView) -> Table | None:
    rows: list[list[Content]] = [
        [
            Linked(d.name, d.name),
            d.kind,
            d.class_ or "",
            d.state or "",
            d.from_ or "",
            " ".join(build.label for build in d.builds),
            d.now or "none",
        ]
        for d in view.designs
    ]
    heads = [Head("design", "ref"), Head("kind"), Head("class"), Head("is"), Head("grew from"), Head("builds"),
             Head("working file")]  # fmt: skip
    return table("All designs", heads, rows)


def _uses(view: FamilyView) -> Table | None:
    places: dict[tuple[str, str, str, int], list[str]] = {}
    for use in sorted(view.uses, key=lambda use: (use.module, use.design, use.place)):
        places.setdefault((use.module, use.design, use.label, use.lags), []).append(use.place)
    rows: list[list[Content]] = [
        [
            Linked(module, module),
            Linked(design, design),
            Linked(label, f"{module}@{label}"),
            f"{said.whole(lags, 'build')} BEHIND" if lags else "",
            ", ".join(names),
        ]
        for (module, design, label, lags), names in places.items()
    ]
    heads = [Head("module", "ref"), Head("in"), Head("build", "word"), Head("lags"), Head("as")]
    return table("Who uses which build", heads, rows)


# --- lessons, tally, sheet, plans ------------------------------------------------------------------------


def _lessons(view: FamilyView) -> Section:
    ordered = sorted(
        view.lessons, key=lambda lesson: (lesson.state != "came back", lesson.state, lesson.name)
    )
    return Section(
        title="Lessons",
        name="lessons",
        lines=tuple(
            Line(
                name=f"{lesson.name}: {lesson.lesson}" if lesson.lesson else lesson.name,
                said=lesson.state,
                tone=lesson_tone(lesson.state),
            )
            for lesson in ordered
        ),
        method="lessons" if view.lessons else None,
    )


def _snags(view: FamilyView) -> Table | None:
    rows = [
        [
            kind.mode,
            ", ".join(kind.during),
            str(kind.count),
            " ".join(kind.builds),
            said.typed_time(kind.cost_s, kind.not_timed),
            ", ".join(kind.lessons),
        ]
        for kind in view.snags
        if kind.keeps_coming_back
    ]
    heads = [Head("what"), Head("during"), Head("times", "figure"), Head("in builds"), Head("cost", "word"),
             Head("lessons")]  # fmt: skip
    return table("Met in more than one build", heads, rows)


def _tally(view: FamilyView) -> Table | None:
    rows = [
        [
            tally.kind,
            str(tally.changes),
            _tallied(tally),
            f"{tally.kept} of {tally.judged}" if tally.judged else "",
            ", ".join(f"{count} {verdict}" for verdict, count in tally.verdicts.items()),
        ]
        for tally in view.tally
    ]
    heads = [Head("kind"), Head("changes", "figure"), Head("mass", "figure", "g"),
             Head("expectations kept", "word"), Head("did they help?")]  # fmt: skip
    return table("What each kind of change came to", heads, rows)


def _tallied(tally: TallyView) -> str:
    mass = said.signed_grams(tally.mass_g)
    return f"{mass}, {tally.mass_not_known} not known" if tally.mass_not_known else mass


def _sheet(view: FamilyView) -> Table | None:
    rows = [
        [s.material, said.millimetres(s.thickness_mm), said.square_cm(s.area_mm2), ", ".join(s.designs)]
        for s in view.stock
    ]
    heads = [Head("material"), Head("thickness", "figure", "mm"), Head("area", "figure", "cm2"), Head("in")]
    return table("By material and thickness", heads, rows)


def _next(view: FamilyView) -> Table | None:
    rows: list[list[Content]] = [
        [Linked(design.name, design.name), design.state or "", text]
        for design in view.designs
        for text in design.next
    ]
    return table(
        "What each is in, and means to do next", [Head("design", "ref"), Head("is"), Head("next")], rows
    )
