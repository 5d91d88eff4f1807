"""The family as terminal text: a calendar first, then who lags, what was learned, what changes came to."""

from collections.abc import Iterator, Sequence

from lineage.reports import said
from lineage.reports.text.compare import lag_lines
from lineage.reports.text.history import grew_text
from lineage.reports.text.layout import bulleted, heading, safe, table, wrapped
from lineage.reports.views.family import BuildView, DesignView, FamilyView, TallyView

_ABREAST = 5  # events side by side in 80 columns


def family_text(view: FamilyView) -> str:
    """The whole family."""
    return "\n\n".join(block for block in _blocks(view) if block) + "\n"


def _blocks(view: FamilyView) -> Iterator[str]:
    yield heading(safe(view.title))
    yield _named("Designs", _designs(view))
    yield _named("Who grew from whom", _grown(view))
    yield _named("At events (+ is recorded before it)", _calendar(view))
    yield _named("Shared modules", _uses(view))
    yield _named("What moving on would bring", _behind(view))
    yield _named("Lessons", _lessons(view))
    yield _named("Snags that keep coming back", _snags(view))
    yield _named("Changes by kind", _tally(view))
    yield _named("Sheet in use", _stock(view))
    yield _named("Meant next", bulleted(f"{d.name}: {safe(text)}" for d in view.designs for text in d.next))


def _grown(view: FamilyView) -> str:
    """Designs that came out of another, and builds that are branches."""
    lines = [f"{d.name} {grew_text(d.grew)}" for d in view.designs if d.grew is not None]
    for design in view.designs:
        lines += [
            f"{design.name}@{build.label} is a branch from {build.before}, beside {', '.join(build.beside)}"
            for build in design.builds
            if build.beside
        ]
    return "\n".join(wrapped(line, "  ", "") for line in lines)


def _behind(view: FamilyView) -> str:
    told: dict[tuple[str, str, str], str] = {}
    return "\n\n".join("\n".join(lag_lines(lag, told)) for lag in view.behind)


def _named(name: str, body: str) -> str:
    return f"{heading(name)}\n{body}" if body else ""


def _designs(view: FamilyView) -> str:
    rows = [
        [
            d.name,
            d.kind,
            d.class_ or "",
            d.state or "",
            d.from_ or "",
            " ".join(b.label for b in d.builds),
            d.now or "",
        ]
        for d in view.designs
    ]
    return table(["design", "", "class", "is", "grew from", "builds", "working file"], rows, "lllllwl")


def _calendar(view: FamilyView) -> str:
    """A row a design, a column an event; as many events side by side as there is room for."""
    rows = [design for design in view.designs if design.builds or design.events]
    tables = [
        _some_events(view, rows, view.events[at : at + _ABREAST])
        for at in range(0, len(view.events), _ABREAST)
    ]
    return "\n\n".join(tables)


def _some_events(view: FamilyView, rows: Sequence[DesignView], events: Sequence[str]) -> str:
    head = ["", *(event[:10] for event in events)]
    named = ["", *(event[11:].replace("-", " ") for event in events)]
    cells = [[design.name, *(_at(design, event, view.events) for event in events)] for design in rows]
    kept = [row for row in cells if any(row[1:])]
    return table(head, [named, *kept], "l" + "w" * len(events)) if kept else ""


def _at(design: DesignView, event: str, events: Sequence[str]) -> str:
    """The build that went there with the modules in it; for what went nowhere what was recorded since the last."""
    if event in design.events:
        label = design.events[event]
        if label is None:
            return "build not said"
        build = next((build for build in design.builds if build.label == label), None)
        borrowed = () if build is None else build.uses
        return "\n".join([label, *(use.replace("@", " ") for use in borrowed)])
    made = [build.label for build in design.builds if _first_event(build, events) == event]
    return f"+{' +'.join(made)}" if made else ""


def _first_event(build: BuildView, events: Sequence[str]) -> str | None:
    """The first event on or after the day of a build."""
    return next((event for event in events if build.on <= event[:10]), None)


def _uses(view: FamilyView) -> str:
    rows = [
        [
            use.module,
            use.design,
            use.place,
            use.label,
            "" if not use.lags else said.whole(use.lags, "build") + " behind",
        ]
        for use in sorted(view.uses, key=lambda use: (use.module, use.design, use.place))
    ]
    return table(["module", "in", "place", "build", ""], rows, "lllll")


def _lessons(view: FamilyView) -> str:
    rows = [
        [lesson.state, lesson.name, safe(lesson.lesson or "")]
        for lesson in sorted(view.lessons, key=lambda x: x.state)
    ]
    return table(["state", "lesson", ""], rows, "llw")


def _snags(view: FamilyView) -> str:
    """Kinds met in several builds, and what all snags cost together."""
    rows = [
        [
            safe(kind.mode),
            ", ".join(kind.during),
            str(kind.count),
            " ".join(kind.builds),
            said.typed_time(kind.cost_s, kind.not_timed),
            ", ".join(kind.lessons),
        ]
        for kind in view.snags
        if kind.keeps_coming_back
    ]
    shown = table(["what", "during", "times", "in builds", "cost", "lessons"], rows, "wwrwwl")
    return "\n".join(line for line in (shown, _all_snags(view)) if line)


def _all_snags(view: FamilyView) -> str:
    count = sum(kind.count for kind in view.snags)
    if not count:
        return ""
    known = [kind.cost_s for kind in view.snags if kind.cost_s is not None]
    cost = said.typed_time(sum(known) if known else None, sum(kind.not_timed for kind in view.snags))
    return wrapped(f"all snags: {said.whole(count, 'snag')} of {said.whole(len(view.snags), 'kind')}, {cost}")


def _tally(view: FamilyView) -> str:
    rows = [
        [
            t.kind,
            str(t.changes),
            _tally_grams(t),
            f"{t.kept} of {t.judged}" if t.judged else "",
            ", ".join(f"{n} {verdict}" for verdict, n in t.verdicts.items()),
        ]
        for t in view.tally
    ]
    return table(["kind", "changes", "grams", "expectations kept", "verdicts on failures"], rows, "lrrrw")


def _tally_grams(tally: TallyView) -> str:
    """`+12.3 g`, and of how many changes the mass is not known."""
    grams = said.signed_grams(tally.mass_g)
    return f"{grams}, {tally.mass_not_known} not known" if tally.mass_not_known else grams


def _stock(view: FamilyView) -> str:
    rows = [
        [s.material, said.millimetres(s.thickness_mm), f"{s.area_mm2 / 100:.0f} cm2", ", ".join(s.designs)]
        for s in view.stock
    ]
    return table(["material", "thickness", "area", "in"], rows, "lrrw")
