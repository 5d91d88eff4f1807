"""Changes as pages list them, with their effects, reasons and evidence."""

from collections.abc import Iterator, Sequence

from lineage.reports import said
from lineage.reports.pages.records import ChangeEntry, Evidence, Line, Tone
from lineage.reports.pages.tables import Head, Table, table
from lineage.reports.views.compare import BeforeAfter, ChangeView, EvidenceView

_TONES: dict[str, Tone] = {"helped": "good", "made it worse": "bad"}
MOST_WAYS = 3


def tone_of(verdict: str | None) -> Tone:
    """How a verdict is marked; leaning either way is still open."""
    return _TONES.get(verdict or "", "open")


def change_entries(
    changes: Sequence[ChangeView], prefix: str, first: int = 1, *, whose: bool = False
) -> tuple[ChangeEntry, ...]:
    """Changes, numbered from `first` on; `prefix` keeps their names on a page apart.

    An answer that several changes share is given at the first of them. `whose` says the design of each.
    """
    seen: dict[str, int] = {}
    return tuple(
        ChangeEntry(
            number=number,
            name=f"{prefix}-{number}",
            text=change.text,
            kind=f"{change.design}: {change.kind}" if whose and change.design else change.kind,
            verdict=change.verdict,
            tone=tone_of(change.verdict),
            effects=tuple(_effects(change)),
            whys=tuple(note.why for note in change.notes if note.why),
            expected=tuple(_expected(change)),
            evidence=tuple(
                evidence_entry(e, seen.setdefault(e.text, number), number) for e in change.evidence
            ),
        )
        for number, change in enumerate(changes, first)
    )


def same_step(changes: Sequence[ChangeView]) -> tuple[tuple[str, ChangeView], ...]:
    """Changes that are one step in several places as one, with the names of the places: they have one answer."""
    steps: dict[tuple[object, ...], list[ChangeView]] = {}
    for change in changes:
        answers = tuple(evidence.text for evidence in change.evidence if evidence.counting is not None)
        alike = (change.kind, change.from_, change.to, answers) if answers else (change.id,)
        steps.setdefault(alike, []).append(change)
    return tuple((_places([change.where for change in alike]), alike[0]) for alike in steps.values())


def _places(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{names[0]} and {len(names) - 1} more"


def step_said(change: ChangeView) -> str:
    """A change without its place: `module moved on, drive-pod@A → drive-pod@B`."""
    if change.from_ and change.to:
        return f"{change.kind}, {change.from_} → {change.to}"
    return change.kind


def _effects(change: ChangeView) -> Iterator[Line]:
    effect = change.effect
    if effect.mass_g is None:
        yield Line(name="mass", said=said.NOT_KNOWN)
    elif effect.mass_g:
        yield Line(name="mass", said=said.signed_grams(effect.mass_g))
    if change.factors_g and len(change.factors_g) > 1:
        for name, share in change.factors_g.items():
            yield Line(name=f"of which {name}", said=said.signed_grams(share))
    for fit, gap in effect.gaps_mm.items():
        yield Line(name=f"gap {fit}", said=said.signed_millimetres(gap))
    yield from _ways(change)


def _ways(change: ChangeView) -> Iterator[Line]:
    ways = sorted(change.effect.access.items(), key=lambda item: -abs(gain(item[1].seconds)))
    for ref, way in ways[:MOST_WAYS]:
        yield Line(name=f"way in to {ref}", said=way_said(way))
    if len(ways) > MOST_WAYS:
        yield Line(name="more ways in", said=str(len(ways) - MOST_WAYS))


def way_said(way: BeforeAfter) -> str:
    """`8 → 6 screws, 95 s → 70 s`."""
    screws = " → ".join("no way" if count is None else str(count) for count in way.screws)
    return f"{screws} {said.screws(way.screws[1])}, {said.duration(way.seconds[0])} → {said.duration(way.seconds[1])}"


def gain(seconds: tuple[float | None, float | None]) -> float:
    """How much longer a way takes, 0 where that is not known."""
    before, after = seconds
    return 0.0 if before is None or after is None else after - before


def _expected(change: ChangeView) -> Iterator[Line]:
    for name, delivered in change.delivered.items():
        kept = {True: "kept", False: "MISSED", None: "cannot tell yet"}[delivered.kept]
        tone: Tone = {True: "good", False: "bad", None: "open"}[delivered.kept]  # type: ignore[assignment]
        got = f", came out {delivered.got}" if delivered.got else ""
        yield Line(name=f"expected {name} {delivered.expected}", said=f"{kept}{got}", tone=tone)


def evidence_entry(evidence: EvidenceView, first: int = 0, here: int = 0) -> Evidence:
    """A sentence to repeat and the figures behind it; where an earlier change has it, only where to read it."""
    if first != here:
        return Evidence(
            of=evidence.figure,
            verdict=evidence.verdict,
            tone=tone_of(evidence.verdict),
            said=f"One answer for all places of this step: see change {first}.",
            lines=(),
        )
    return Evidence(
        of=evidence.figure,
        verdict=evidence.verdict,
        tone=tone_of(evidence.verdict),
        said=evidence.text,
        lines=tuple(_behind(evidence)),
        strata=_strata(evidence),
    )


def _behind(evidence: EvidenceView) -> Iterator[Line]:
    yield Line(name="before", said=said.counts(evidence.before))
    yield Line(name="after", said=said.counts(evidence.after))
    if evidence.odds_ratio is not None:
        yield Line(name="odds of it, after in times of before", said=said.times(evidence.odds_ratio))
    elif evidence.difference is not None:
        yield Line(name="difference", said=said.times(evidence.difference))
    if evidence.interval95 is not None:
        low, high = evidence.interval95
        yield Line(name="95 % limits", said=f"{said.times(low)} to {said.times(high)}")
    if evidence.p_value is not None:
        yield Line(
            name="chance of a result this far out, had nothing changed", said=said.chance(evidence.p_value)
        )
    if evidence.to_settle:
        bouts = said.whole(evidence.to_settle, "more clean bout")
        yield Line(name="would settle it", said=bouts)
    yield Line(name="method", said=evidence.method)


def _strata(evidence: EvidenceView) -> Table | None:
    if len(evidence.strata) < 2:
        return None
    rows = [[s.design, said.counts(s.before), said.counts(s.after)] for s in evidence.strata]
    return table("Robot by robot", [Head("robot"), Head("before", "word"), Head("after", "word")], rows)
