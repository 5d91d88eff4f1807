"""The family as terminal text: a calendar first, then who lags, what was learned, what changes came to."""

from collections.abc import Iterator

from lineage.reports import said
from lineage.reports.text.layout import bulleted, heading, safe, table
from lineage.reports.views.family import DesignView, FamilyView


def family_text(view: FamilyView) -> str:
    """The whole family."""
    return "\n\n".join(block for block in _blocks(view) if block) + "\n"


def _blocks(view: FamilyView) -> Iterator[str]:
    yield heading(safe(view.title))
    yield _named("Designs", _designs(view))
    yield _named("At events", _calendar(view))
    yield _named("Shared modules", _uses(view))
    yield _named("Lessons", _lessons(view))
    yield _named("Changes by kind", _tally(view))
    yield _named("Sheet in use", _stock(view))
    yield _named("Meant next", bulleted(f"{d.name}: {safe(text)}" for d in view.designs for text in d.next))


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
    robots = [design for design in view.designs if design.events]
    rows = [[event, *(_at(robot, event) for robot in robots)] for event in view.events]
    return table(["event", *(robot.name for robot in robots)], rows, "w" + "l" * len(robots))


def _at(robot: DesignView, event: str) -> str:
    if event not in robot.events:
        return ""
    return robot.events[event] or "build not said"


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


def _tally(view: FamilyView) -> str:
    rows = [
        [
            t.kind,
            str(t.changes),
            said.signed_grams(t.mass_g),
            f"{t.kept} of {t.judged}" if t.judged else "",
            ", ".join(f"{n} {verdict}" for verdict, n in t.verdicts.items()),
        ]
        for t in view.tally
    ]
    return table(["kind", "changes", "grams", "expectations kept", "verdicts on failures"], rows, "lrrrw")


def _stock(view: FamilyView) -> str:
    rows = [
        [s.material, said.millimetres(s.thickness_mm), f"{s.area_mm2 / 100:.0f} cm2", ", ".join(s.designs)]
        for s in view.stock
    ]
    return table(["material", "thickness", "area", "in"], rows, "lrrw")
