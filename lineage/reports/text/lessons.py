"""The report after an event as terminal text: what to do first, then why."""

from collections.abc import Iterator

from lineage.reports import said
from lineage.reports.text.compare import changes_text
from lineage.reports.text.layout import bulleted, heading, safe, table, wrapped
from lineage.reports.views.compare import ChangeView
from lineage.reports.views.lessons import Lessons, LessonView


def lessons_text(view: Lessons) -> str:
    """The whole report."""
    return "\n\n".join(block for block in _blocks(view) if block) + "\n"


def _blocks(view: Lessons) -> Iterator[str]:
    yield f"{heading(safe(view.title))}\n{view.event}, {view.on}"
    yield _named("Do first", _first(view))
    yield _named("Robots", _entries(view))
    yield _named("What broke", _broke(view))
    yield _named("Time in the pits", _time(view))
    yield _named("Changed since the last event", _changes(view))
    yield _named("Snags since", _snags(view))
    yield _named("Lessons broken here", _told(view, "broken"))
    yield _named("Lessons kept here", _told(view, "kept"))
    yield _named("Other lessons", _told(view, None))
    yield _named("To carry to siblings", _to_carry(view))
    yield _named("Left undone in the pits", bulleted(safe(text) for text in view.pit_left))
    yield _named("Noted in the pits", bulleted(safe(text) for text in view.pit_notes))
    yield _named("To pack next time", _packing(view))
    yield _named("How it was counted", bulleted(view.said))
    yield _named("Cautions", bulleted(view.cautions))


def _named(name: str, body: str) -> str:
    return f"{heading(name)}\n{body}" if body else ""


def _first(view: Lessons) -> str:
    return "\n".join(
        wrapped(f"{safe(first.what)}: {safe(first.why)}", "   ", f"{rank}. ")
        for rank, first in enumerate(view.first, 1)
    )


def _entries(view: Lessons) -> str:
    rows = [
        [
            e.robot,
            e.build or said.NOT_KNOWN,
            said.grams_alone(e.weighed_g) if e.weighed_g is not None else "not weighed",
            said.grams_alone(e.margin_g) if e.margin_g is not None else "",
            f"{e.won} / {e.lost} / {e.drawn}",
            safe("; ".join(e.lost_because)),
        ]
        for e in view.entries
    ]
    return table(
        ["robot", "build", "weighed", "margin", "won / lost / drawn", "lost because"], rows, "llrrrw"
    )


def _broke(view: Lessons) -> str:
    rows = [
        [
            str(b.rank),
            f"{b.robot} {safe(b.at)}\n{safe(b.mode)}, {b.severity}",
            str(b.count),
            str(b.seen_before),
            str(b.cost_bout or ""),
            said.sum_of_durations(b.took_s),
        ]
        for b in view.broke
    ]
    head = ["", "thing and what", "bouts", "before", "cost\nbouts", "took"]
    return table(head, rows, "rlrrrR")


def _time(view: Lessons) -> str:
    lines = []
    if view.time.turnaround_s is not None:
        lines.append(f"time between bouts {said.duration(view.time.turnaround_s)}")
    over = {True: "OVER", False: "in time", None: ""}
    rows = [
        [
            f.robot,
            f.bout or "",
            safe(f.at),
            said.duration(f.took_s),
            "" if f.predicted_s is None else said.duration(f.predicted_s),
            over[f.over],
        ]
        for f in view.time.fixes
    ]
    lines.append(table(["robot", "bout", "thing", "took", "worked out", ""], rows, "lrlrrl"))
    return "\n".join(line for line in lines if line)


def _changes(view: Lessons) -> str:
    by_design: dict[str, list[ChangeView]] = {}
    for change in view.changes:
        by_design.setdefault(change.design or "", []).append(change)
    return "\n\n".join(
        "\n".join((f"{design}:", *changes_text(changes))) for design, changes in by_design.items()
    )


def _snags(view: Lessons) -> str:
    rows = [
        [s.during, safe(s.at or ""), safe(s.mode), str(s.count), said.duration(s.cost_s)] for s in view.snags
    ]
    return table(["during", "at", "what", "times", "cost"], rows, "llwrr")


def _told(view: Lessons, word: str | None) -> str:
    """Lessons that were kept or broken at the event; with None those that were neither."""
    return "\n".join(
        _lesson(lesson)
        for lesson in view.lessons
        if (said.at_event(lesson.here) is None if word is None else lesson.here and lesson.here.word == word)
    )


def _lesson(lesson: LessonView) -> str:
    lines = [wrapped(f"{lesson.lesson}: {safe(lesson.title)}  [{lesson.state}]", "  ", "- ")]
    here = said.at_event(lesson.here)
    if here is not None:
        lines.append(wrapped(here, "    ", "  "))
    if lesson.text:
        lines.append(wrapped(safe(lesson.text), "    ", "  "))
    return "\n".join(lines)


def _to_carry(view: Lessons) -> str:
    """What to look at elsewhere, lesson by lesson, with what to do there."""
    lines = []
    for lesson in view.lessons:
        if lesson.also_in:
            do = f": {lesson.do}" if lesson.do else ""
            lines.append(wrapped(safe(f"{lesson.lesson}{do}"), "  ", "- "))
        for also in lesson.also_in:
            where = f"{also.design}{'@' + also.build if also.build else ''}"
            lines.append(wrapped(safe(f"{where} {also.ref}: {also.why}"), "    ", "  "))
    return "\n".join(lines)


def _packing(view: Lessons) -> str:
    lines = []
    for robot, box in view.packing.items():
        rows = [
            [
                safe(item.item),
                "as much as wanted" if item.quantity is None else str(item.quantity),
                "" if item.chance_short is None else said.percent(item.chance_short),
                safe("; ".join(item.rework)),
            ]
            for item in box.packing
        ]
        if rows:
            lines.append(wrapped(f"{robot}: {box.basis}"))
            lines.append(table(["item", "pack", "may run short", "rework before"], rows, "wrrw"))
    return "\n".join(lines)
