"""Service on the page of a card: ways in and their ladders, timed services, screws that could go, mending to expect."""

from collections.abc import Iterator, Mapping

from lineage.reports import said
from lineage.reports.fit_words import MAKE_SAFE, NEVER_SPARE, empty_holes_so, no_way_so, pace_said
from lineage.reports.pages.records import Ladder, Line, Section, Step, fold, tables
from lineage.reports.pages.tables import Head, Table, table
from lineage.reports.views.card import AccessView, Card

MOST_LOADS = 4


def access(card: Card) -> Section:
    """The things that a builder takes off by name; what is inside them is one click away."""
    inner = {ref: way for ref, way in card.access.items() if "." in ref}
    outer = {ref: way for ref, way in card.access.items() if "." not in ref}
    pace = card.pace
    lines = []
    if pace is not None and pace.turnaround_s is not None and card.access:
        lines.append(Line(name="time between bouts", said=said.duration(pace.turnaround_s)))
    return Section(
        title="Ways in",
        name="ways-in",
        lines=tuple(lines),
        notes=(f"T{pace_said(card)[1:]}.",) if pace is not None and card.access else (),
        tables=tables(_ways("The cheapest way in to each thing", outer), _timed(card)),
        folds=fold("Ways in to what is inside modules", _ways("Inside modules", inner)),
        ladders=tuple(
            ladder(ref, way)
            for ref, way in card.access.items()
            if way.screws is not None and (way.undo or way.off)
        ),
        method="ways-in",
    )


def _ways(caption: str, ways: Mapping[str, AccessView]) -> Table | None:
    rows = [
        [
            ref,
            no_way_so(way) if way.screws is None else str(way.screws),
            said.seconds(way.seconds),
            ", ".join(way.tools),
            _in_time(way),
        ]
        for ref, way in ways.items()
    ]
    heads = [Head("to take off", "ref"), Head("screws", "figure"), Head("off and back on", "figure", "s"),
             Head("tools"), Head("in time between bouts", "word")]  # fmt: skip
    return table(caption, heads, rows)


def _in_time(way: AccessView) -> str:
    """The chance, and a word where it is against it."""
    if way.chance_in_time is None:
        return {True: "yes", False: "NO", None: ""}[way.fits_turnaround]
    against = "NO: " if way.fits_turnaround is False else ""
    return f"{against}{said.likely(way.chance_in_time)}"


def ladder(ref: str, way: AccessView, *, side: str = "") -> Ladder:
    """A way in step by step, the first to make the robot safe; `side` says which build it is of."""
    steps = [Step(do=MAKE_SAFE), *(_step(step.do, step.ref, step.screws, step.type) for step in way.steps)]
    steps.append(Step(do="Take off", refs=(ref,)))
    timed = "" if way.seconds is None else f", {said.seconds(way.seconds)} off and back on"
    head = f"{side}: " if side else ""
    return Ladder(ref=ref, said=f"{head}{said.whole(way.screws, 'screw')}{timed}", steps=tuple(steps))


def _step(do: str, ref: str, screws: int | None, kind: str | None) -> Step:
    if do == "off":
        return Step(do="Take off", refs=(ref,))
    return Step(do=f"Undo {screws} of {kind},", refs=(ref,))


def _timed(card: Card) -> Table | None:
    """Timed services of the build beside what was worked out."""
    rows = [
        [
            t.of,
            t.on,
            said.seconds(t.timed_s),
            said.seconds(t.predicted_s),
            said.NOT_KNOWN if t.ratio is None else f"{t.ratio:.2f}",
        ]
        for t in card.timed_services
    ]
    heads = [Head("timed", "ref"), Head("on", "word"), Head("took", "figure", "s"),
             Head("worked out", "figure", "s"), Head("ratio", "figure")]  # fmt: skip
    return table("Timed services", heads, rows)


def mending_lines(card: Card) -> Iterator[Line]:
    """What mending to expect, and what makes most of it."""
    load = card.service_load
    if load is None:
        return
    if load.seconds_per_bout is not None:
        yield Line(name="mending to expect, a bout", said=said.duration(load.seconds_per_bout))
        for ref, seconds in list(load.items.items())[:MOST_LOADS]:
            yield Line(name=f"of which {ref}", said=said.duration(seconds))
    if load.not_known:
        yield Line(name="not in it, no time known", said=", ".join(load.not_known))


def spare_screws(card: Card) -> Section:
    """Groups with more screws than the builder's own rule; never those of weapons, armour, batteries, stored energy."""
    rows = [
        [s.ref, f"{s.could_go} of {s.count}", said.grams_alone(s.grams), said.duration(s.seconds)]
        for s in card.spare_screws
    ]
    heads = [Head("screws", "ref"), Head("could go", "word"), Head("saves", "figure", "g"),
             Head("and", "word")]  # fmt: skip
    return Section(
        title="Screws that could go",
        name="spare-screws",
        lines=(Line(name="holes left empty", said=empty_holes_so(card)),) if card.empty_holes else (),
        tables=tables(table("By your own rules", heads, rows)),
        notes=(NEVER_SPARE,) if rows else (),
        method="spare-screws",
    )
