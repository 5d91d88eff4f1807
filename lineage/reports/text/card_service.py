"""Service on a card as terminal text: ways in, one of them step by step, timed services, mending to expect."""

from collections.abc import Iterator

from lineage.reports import said
from lineage.reports.fit_words import NEVER_SPARE, empty_holes_so, ladder, no_way_so, pace_said
from lineage.reports.text.layout import heading, safe, table, wrapped
from lineage.reports.views.card import AccessView, Card

MOST_LOADS = 4


def access_text(card: Card) -> str:
    """The cheapest way in to each thing of the design itself."""
    outer = {ref: way for ref, way in card.access.items() if "." not in ref}
    is_timed = any(way.chance_in_time is not None for way in card.access.values())
    rows = [_row(ref, way, is_timed=is_timed) for ref, way in outer.items()]
    head = ["to take off", "screws", "off and back on", "first, and tools"]
    if is_timed:
        limit = card.pace.turnaround_s if card.pace is not None else None
        head.insert(3, f"in {said.duration(limit)}")
    lines = [table(head, rows, "lrrrw" if is_timed else "lrrw")]
    if not rows:
        return ""
    if len(card.access) > len(outer):  # as many again for every module
        lines.append(
            f"and {said.whole(len(card.access) - len(outer), 'thing')} inside modules: --html, --json"
        )
    lines += [wrapped(text) for text in (pace_said(card), _how_to_see_more(card)) if text]
    return "\n".join(lines)


def _row(ref: str, way: AccessView, *, is_timed: bool) -> list[str]:
    off = ", ".join(way.off)
    first = "; ".join(part for part in (f"off: {off}" if off else "", ", ".join(way.tools)) if part)
    known = way.screws is not None
    row = [ref, str(way.screws) if known else "no way", said.seconds(way.seconds)]
    if is_timed:
        row.append("" if way.chance_in_time is None else said.likely(way.chance_in_time))
    return [*row, first if known else no_way_so(way)]


def _how_to_see_more(card: Card) -> str:
    name = card.design if card.on is None else f"{card.design}@{card.build}"
    longest = max(card.access, key=lambda ref: len(card.access[ref].steps), default="")
    return f"step by step: lineage card {name} --way {longest}" if longest else ""


def ladder_text(card: Card, ref: str) -> str:
    """One way in, step by step."""
    way = card.access[ref]
    title = heading(f"{card.design}@{card.build}: to take off {ref}")
    if way.screws is None:
        return f"{title}\n{wrapped(no_way_so(way))}\n"
    lines = [f"{said.whole(way.screws, 'screw')}, {said.seconds(way.seconds)} off and back on"]
    if way.tools:
        lines.append(wrapped("tools: " + ", ".join(way.tools)))
    if way.chance_in_time is not None and card.pace is not None:
        limit = said.duration(card.pace.turnaround_s)
        lines.append(f"chance that it is done in {limit}: {said.likely(way.chance_in_time)}")
    if way.ways > 1:
        lines.append(f"the cheapest of {way.ways} ways")
    steps = [wrapped(safe(text), "    ", f"{n:2}  ") for n, text in enumerate(ladder(ref, way))]
    return (
        "\n".join(
            [title, *lines, "", *steps, "", "Back on in reverse order; the robot stays safe until then."]
        )
        + "\n"
    )


def timed_text(card: Card) -> str:
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
    return table(["timed", "on", "took", "worked out", "ratio"], rows, "llrrr")


def load_lines(card: Card) -> Iterator[str]:
    """Mending to expect a bout, and what makes most of it."""
    load = card.service_load
    if load is None:
        return
    if load.seconds_per_bout is not None:
        items = [f"{ref} {said.duration(seconds)}" for ref, seconds in list(load.items.items())[:MOST_LOADS]]
        more = len(load.items) - len(items)
        rest = f" and {more} more" if more > 0 else ""
        yield f"mending to expect: {said.duration(load.seconds_per_bout)} a bout: {', '.join(items)}{rest}"
    if load.not_known:
        yield f"not in it, as nobody knows how long it takes: {', '.join(load.not_known)}"


def spare_screws_text(card: Card) -> str:
    """Groups with more screws than the builder's own rule; never those of weapons, armour, batteries, stored energy."""
    rows = [
        [s.ref, f"{s.could_go} of {s.count}", said.grams_alone(s.grams), said.duration(s.seconds)]
        for s in card.spare_screws
    ]
    lines = [table(["screws", "could go", "saves", "and"], rows, "lrrr")] if rows else []
    if rows:
        lines.append(wrapped(NEVER_SPARE))
    if card.empty_holes:
        lines.append(wrapped(f"holes left empty: {empty_holes_so(card)}"))
    return "\n".join(lines)
