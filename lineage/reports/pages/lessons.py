"""The report after an event as a page."""

from collections.abc import Iterator

from lineage.reports import said
from lineage.reports.pages.changes import change_entries
from lineage.reports.pages.methods import METHODS
from lineage.reports.pages.records import Line, Page, Section, Tone, Verdict, filled, tables
from lineage.reports.pages.spares import packing_table
from lineage.reports.pages.tables import Content, Head, Linked, Table, table
from lineage.reports.views.lessons import AlsoView, Lessons, PackingView

_STATES: dict[str, Tone] = {"holding": "good", "less often": "good", "came back": "bad"}


def lesson_tone(state: str) -> Tone:
    """How the state of a lesson is marked; what is not settled is open."""
    return _STATES.get(state, "open")


def lessons_page(view: Lessons) -> Page:
    """What to do first, then why."""
    return Page(
        kind="After the event",
        title=view.title,
        block=(
            Line(name="event", said=view.event),
            Line(name="on", said=view.on),
            Line(name="robots", said=", ".join(e.robot for e in view.entries) or "none"),
        ),
        verdict=_verdict(view),
        answers=tuple(_answers(view)),
        cautions=view.cautions,
        sections=filled(
            _first(view),
            _robots(view),
            _broke(view),
            _pits(view),
            Section(title="Noted in the pits", name="pit-notes", items=view.pit_notes),
            Section(
                title="Changed since the last event",
                name="changes",
                changes=change_entries(view.changes, "change", whose=True),
                method="evidence",
            ),
            _snags(view),
            _lessons(view),
            *_packing(view),
            Section(title="How it was counted", name="counted", items=view.said),
        ),
        methods=METHODS,
    )


def _verdict(view: Lessons) -> Verdict:
    if not view.first:
        return Verdict(tone="good", word="Nothing to do first", said="nothing broke that no lesson answers")
    first = view.first[0]
    return Verdict(tone="bad", word="Do first", said=f"{first.what}: {first.why}")


def _answers(view: Lessons) -> Iterator[Line]:
    for entry in view.entries:
        record = f"{entry.won} won, {entry.lost} lost, {entry.drawn} drawn"
        yield Line(name=entry.robot, said=record)
    back = [lesson.lesson for lesson in view.lessons if lesson.state == "came back"]
    if back:
        yield Line(name="lessons that came back", said=", ".join(back), tone="bad")


def _first(view: Lessons) -> Section:
    return Section(
        title="Do first",
        name="first",
        items=tuple(f"{first.what}: {first.why}" for first in view.first),
        order=True,
        method="first",
    )


def _robots(view: Lessons) -> Section:
    rows: list[list[Content]] = [
        [
            Linked(e.robot, e.robot),
            Linked(e.build or said.NOT_KNOWN, f"{e.robot}@{e.build}"),
            "not weighed" if e.weighed_g is None else said.grams_alone(e.weighed_g),
            "" if e.margin_g is None else said.grams_alone(e.margin_g),
            f"{e.won} / {e.lost} / {e.drawn}",
            "; ".join(e.lost_because),
        ]
        for e in view.entries
    ]
    heads = [Head("robot"), Head("build", "word"), Head("weighed", "figure", "g"), Head("margin", "figure", "g"),
             Head("won / lost / drawn", "word"), Head("lost because")]  # fmt: skip
    return Section(title="Robots", name="robots", tables=tables(table("At the event", heads, rows)))


def _broke(view: Lessons) -> Section:
    rows = [
        [
            f"{b.rank}. {b.robot}",
            b.at,
            b.mode,
            b.severity,
            str(b.count),
            str(b.seen_before),
            str(b.cost_bout) if b.cost_bout else "",
            said.sum_of_durations(b.took_s),
        ]
        for b in view.broke
    ]
    heads = [Head("robot"), Head("thing", "ref"), Head("what"), Head("how bad"), Head("bouts", "figure"),
             Head("before", "figure"), Head("cost bouts", "figure"), Head("took", "word")]  # fmt: skip
    return Section(
        title="What broke", name="broke", tables=tables(table("By what it cost", heads, rows)), method="first"
    )


def _pits(view: Lessons) -> Section:
    over = {True: "OVER", False: "in time", None: ""}
    rows = [
        [
            f"{f.robot}: {f.at}",
            f.bout or "",
            said.duration(f.took_s),
            "" if f.predicted_s is None else said.duration(f.predicted_s),
            over[f.over],
        ]
        for f in view.time.fixes
    ]
    heads = [
        Head("mended", "ref"),
        Head("bout", "word"),
        Head("took", "word"),
        Head("worked out", "word"),
        Head("so"),
    ]
    between = view.time.turnaround_s
    fixes: Table | None = table("Mends", heads, rows)
    return Section(
        title="Time in the pits",
        name="pits",
        lines=() if between is None else (Line(name="time between bouts", said=said.duration(between)),),
        tables=tables(fixes),
        items=view.pit_left,
        notes=("Left undone in the pits:",) if view.pit_left else (),
        method="pits",
    )


def _snags(view: Lessons) -> Section:
    rows = [[s.mode, s.at or "", s.during, str(s.count), said.duration(s.cost_s)] for s in view.snags]
    heads = [Head("what"), Head("at", "ref"), Head("during"), Head("times", "figure"), Head("cost", "word")]
    return Section(
        title="Snags since", name="snags", tables=tables(table("Snags", heads, rows)), method="bench"
    )


def _lessons(view: Lessons) -> Section:
    lines, notes = [], []
    for lesson in view.lessons:
        tone = lesson_tone(lesson.state)
        lines.append(Line(name=f"{lesson.lesson}: {lesson.title}", said=lesson.state, tone=tone))
        here = said.at_event(lesson.here)
        if here is not None:
            notes.append(f"{lesson.lesson}: {here}")
        if lesson.text:
            notes.append(f"{lesson.lesson}: {lesson.text}")
    rows: list[list[Content]] = [
        [also.ref, _where(also), lesson.lesson, also.why]
        for lesson in view.lessons
        for also in lesson.also_in
    ]
    heads = [Head("look at", "ref"), Head("in"), Head("for the lesson"), Head("why")]
    return Section(
        title="Lessons",
        name="lessons",
        lines=tuple(lines),
        notes=tuple(notes),
        tables=tables(table("Where else the same flaw may live", heads, rows)),
        method="lessons",
    )


def _where(also: AlsoView) -> Linked:
    ref = f"{also.design}@{also.build}" if also.build else also.design
    return Linked(ref, ref)


def _packing(view: Lessons) -> Iterator[Section]:
    boxes = [
        made
        for robot, box in view.packing.items()
        if (made := packing_table(f"The box of {robot}", box.packing)) is not None
    ]
    yield Section(
        title="To pack next time",
        name="packing",
        notes=tuple(dict.fromkeys(_basis(robot, box) for robot, box in view.packing.items() if box.packing)),
        tables=tuple(boxes),
        method="packing",
    )


def _basis(robot: str, box: PackingView) -> str:
    chance = box.chance_box_short
    told = (
        ""
        if chance is None
        else f"; the chance that the box runs short of something is {said.percent(chance)}"
    )
    return f"{robot}: {box.basis}{told}"
