"""States side by side as a page."""

from collections.abc import Iterator, Sequence

from lineage.reports import said
from lineage.reports.charts.forest import forest
from lineage.reports.charts.plates import Overlay
from lineage.reports.charts.roles_beside import roles_beside
from lineage.reports.charts.waterfall import waterfall
from lineage.reports.fit_words import serviceable_so
from lineage.reports.pages.before_after import before_and_after
from lineage.reports.pages.changes import (
    change_entries,
    evidence_entry,
    gain,
    same_step,
    step_said,
    tone_of,
    way_said,
)
from lineage.reports.pages.methods import METHODS
from lineage.reports.pages.records import Line, Page, Section, Verdict, filled, fold, pictures, tables
from lineage.reports.pages.siblings import by_thing, every_change, moving_on
from lineage.reports.pages.tables import Head, Table, table
from lineage.reports.pages.todo import work_sections
from lineage.reports.views.card import Card
from lineage.reports.views.cautions import of_all
from lineage.reports.views.compare import BeforeAfter, Compare, EvidenceView, PairView
from lineage.reports.views.figures import ValueU

MOST_WAYS = 5
_SPOKEN = frozenset(("helped", "made it worse", "leaning better", "leaning worse"))


def compare_page(view: Compare, overlays: Sequence[Overlay] = ()) -> Page:
    """Totals first, then each pair with its changes."""
    names = [_name(card) for card in view.designs]
    sections = [_beside(view.designs), _shared(view), moving_on(view.shared.behind)]
    for number, pair in enumerate(view.pairs, 1):
        after = view.designs[number] if number < len(view.designs) else None
        sections += _pair(pair, after, number, alone=len(view.pairs) == 1)
        sections.append(before_and_after(pair, view.designs, f"pair-{number}-drawn"))
    sections.append(
        Section(title="Plates before and after", name="plates-before-and-after", plates=tuple(overlays))
    )
    return Page(
        kind="Comparison",
        title=" · ".join(names),
        block=tuple(Line(name=_recorded(card), said=_name(card)) for card in view.designs),
        verdict=_verdict(view),
        answers=tuple(_answers(view)),
        cautions=of_all(card.cautions for card in view.designs),
        sections=filled(*sections),
        methods=METHODS,
    )


def _name(card: Card) -> str:
    return f"{card.design}@{card.build}"


def _recorded(card: Card) -> str:
    return f"recorded {card.on}" if card.on else "not recorded"


# --- the answer ------------------------------------------------------------------------------------------


def _verdict(view: Compare) -> Verdict:
    if not view.pairs:
        return Verdict(tone="open", word="Nothing to compare", said="one state only")
    if len(view.pairs) > 1:
        return Verdict(tone="open", word=f"{len(view.designs)} states side by side", said="")
    pair = view.pairs[0]
    real = [change for change in pair.changes if not change.described_better]
    word = said.whole(len(real), "change") if pair.changes else "No change"
    told = f"mass {_total(pair)}"
    if pair.weighed_g is not None:
        told += f", on the scales {said.grams(pair.weighed_g.change)}"
    return Verdict(tone="open", word=word, said=told)


def _answers(view: Compare) -> Iterator[Line]:
    for pair in view.pairs:
        if len(view.pairs) > 1:
            yield Line(name=f"{pair.before} → {pair.after}, mass", said=_total(pair))
        for names, change in same_step(pair.changes):
            if change.verdict in _SPOKEN:
                yield Line(
                    name=f"{names}: {step_said(change)}", said=change.verdict, tone=tone_of(change.verdict)
                )
        missed = dict.fromkeys(
            name for c in pair.changes for name, d in c.delivered.items() if d.kept is False
        )
        if missed:
            yield Line(name="expected and missed", said=", ".join(missed), tone="bad")


def _total(pair: PairView) -> str:
    before, after = pair.totals.mass_g.before, pair.totals.mass_g.after
    if before is None or after is None:
        return said.NOT_KNOWN
    return f"{said.grams_alone(before)} → {said.grams_alone(after)} ({said.signed_grams(after - before)})"


# --- side by side ----------------------------------------------------------------------------------------


def _beside(cards: Sequence[Card]) -> Section:
    rows = [
        ["predicted", *(said.grams(card.weight.predicted_g) for card in cards)],
        ["weighed", *(said.grams(card.weight.measured_g) for card in cards)],
        [
            "limit",
            *(said.NOT_KNOWN if c.class_ is None else said.grams_alone(c.class_.limit_g) for c in cards),
        ],
        ["margin", *(said.grams(card.weight.margin_g) for card in cards)],
    ]
    if len({card.design for card in cards}) > 1:
        rows.append(["share of limit", *(_of_limit(card) for card in cards)])
    rows += [
        ["slowest way in", *(_slowest(card) for card in cards)],
        ["least gap", *(_least_gap(card) for card in cards)],
        ["bouts", *(str(card.failures.bouts) for card in cards)],
    ]
    heads = [Head("figure"), *(Head(_name(card), "word") for card in cards)]
    return Section(
        title="Side by side",
        name="side-by-side",
        tables=tables(table("Whole figures", heads, rows), _roles(cards)),
        pictures=pictures(roles_beside(cards)) if _are_several(cards) else (),
        method="weight",
    )


def _are_several(cards: Sequence[Card]) -> bool:
    """Siblings, or more states than one before and one after."""
    return len(cards) > 2 or len({card.design for card in cards}) > 1


def _roles(cards: Sequence[Card]) -> Table | None:
    """Mass by role; of siblings the share of each one's own limit beside it."""
    are_siblings = len({card.design for card in cards}) > 1
    roles = dict.fromkeys(role for card in cards for role in card.weight.by_role_g)
    heads = [Head("role")]
    for card in cards:
        heads.append(Head(_name(card), "figure", "g"))
        if are_siblings:
            heads.append(Head("of the limit", "word"))
    rows = [[role, *(cell for card in cards for cell in _role(card, role, are_siblings))] for role in roles]
    return table("Mass by role", heads, rows)


def _role(card: Card, role: str, shares: bool) -> Iterator[str]:  # noqa: FBT001 - one table, two widths
    mass = card.weight.by_role_g.get(role)
    yield "" if mass is None else said.grams_alone(mass)
    if shares:
        limit = None if card.class_ is None else card.class_.limit_g
        yield "" if mass is None or limit is None else said.percent(mass / limit)


def _of_limit(card: Card) -> str:
    if card.class_ is None or card.weight.predicted_g is None:
        return said.NOT_KNOWN
    return said.percent(card.weight.predicted_g.value / card.class_.limit_g)


def _slowest(card: Card) -> str:
    times = [(way.seconds.value, ref) for ref, way in card.access.items() if way.seconds is not None]
    return f"{said.duration(max(times)[0])} ({max(times)[1]})" if times else said.NOT_KNOWN


def _least_gap(card: Card) -> str:
    gaps = [(fit.nominal_mm, name) for name, fit in card.fits.items() if fit.nominal_mm is not None]
    return f"{said.millimetres(min(gaps)[0])} ({min(gaps)[1]})" if gaps else said.NOT_KNOWN


def _shared(view: Compare) -> Section:
    designs = list(dict.fromkeys(card.design for card in view.designs))
    if len(designs) < 2:
        return Section(title="Shared", name="shared")
    rows = [
        [m.name, *(m.builds.get(design) or "" for design in designs), ", ".join(m.lags)]
        for m in view.shared.modules
    ]
    heads = [Head("module"), *(Head(design, "word") for design in designs), Head("lags")]
    return Section(
        title="Shared",
        name="shared",
        tables=tables(table("Modules, and the build that each robot has", heads, rows)),
        lines=tuple(
            Line(name=name, said=", ".join(found))
            for name, found in (
                ("stock", view.shared.stock),
                ("bought", view.shared.items),
                ("plates of one drawing", view.shared.plates),
            )
            if found
        ),
    )


# --- one pair --------------------------------------------------------------------------------------------


def _pair(pair: PairView, after: Card | None, number: int, *, alone: bool) -> list[Section]:
    weighed = _weighed(pair, after)
    real = [change for change in pair.changes if not change.described_better]
    described = [change for change in pair.changes if change.described_better]
    counted = [
        (names, evidence)
        for names, change in same_step(real)
        for evidence in change.evidence
        if _has_odds(evidence)
    ]
    name = f"pair-{number}"
    made = [
        Section(
            title=f"{pair.before} → {pair.after}",
            name=name,
            lines=tuple(_pair_lines(pair)),
            notes=tuple(_pair_notes(pair)),
            pictures=pictures(waterfall(pair, weighed, number), forest(counted, number)),
            changes=() if pair.by_thing is not None else change_entries(real, f"{name}-change"),
            folds=(
                *every_change(pair, real, f"{name}-change"),
                *fold("All ways in that changed", _all_ways(pair)),
                *fold("What was paired otherwise than by name", _pairing(pair)),
            ),
            method="changes",
        ),
        *by_thing(pair, name),
        Section(
            title="Only described better",
            name=f"{name}-described",
            changes=change_entries(described, f"{name}-change", len(real) + 1),
        ),
        Section(
            title="Measured",
            name=f"{name}-measured",
            notes=tuple(f"{e.of}: {e.verdict}. {e.said}" for e in map(evidence_entry, pair.measured)),
            method="evidence",
        ),
    ]
    # Only one pair on a page has its work list: the names of its parts would be there twice.
    return made if pair.siblings or not alone else [*made, *work_sections(pair.todo)]


def _has_odds(evidence: EvidenceView) -> bool:
    return evidence.counting is not None and evidence.interval95 is not None


def _weighed(pair: PairView, after: Card | None) -> ValueU | None:
    if pair.weighed_g is not None:
        return pair.weighed_g.after
    same = after is not None and pair.after in {_name(after), after.build}
    return after.weight.measured_g if after is not None and same else None


def _pair_lines(pair: PairView) -> Iterator[Line]:
    yield Line(name="mass", said=_total(pair))
    if pair.weighed_g is not None:
        yield Line(name="change on the scales", said=said.grams(pair.weighed_g.change))
    for name, gap in pair.totals.gaps_mm.items():
        if gap.change:
            yield Line(
                name=f"gap {name}", said=f"{said.millimetres(gap.before)} → {said.millimetres(gap.after)}"
            )
    if pair.serviceable is not None:
        yield Line(name="mending to expect", said=serviceable_so(pair.serviceable))
    ways = _changed_ways(pair)
    for ref, way in ways[:MOST_WAYS]:
        yield Line(name=f"way in to {ref}", said=way_said(way))
    if len(ways) > MOST_WAYS:
        yield Line(name="more ways in, below", said=str(len(ways) - MOST_WAYS))


def _changed_ways(pair: PairView) -> list[tuple[str, BeforeAfter]]:
    """Ways in whose screws changed, the greatest gain or loss first."""
    changed = [(ref, way) for ref, way in pair.totals.access.items() if way.screws[0] != way.screws[1]]
    return sorted(changed, key=lambda item: -abs(gain(item[1].seconds)))


def _all_ways(pair: PairView) -> Table | None:
    ways = _changed_ways(pair)
    if len(ways) <= MOST_WAYS:
        return None
    rows = [
        [
            ref,
            " → ".join("no way" if count is None else str(count) for count in way.screws),
            " → ".join(said.duration(seconds) for seconds in way.seconds),
        ]
        for ref, way in ways
    ]
    return table("Ways in", [Head("to take off", "ref"), Head("screws", "word"), Head("takes", "word")], rows)


def _pair_notes(pair: PairView) -> Iterator[str]:
    if not pair.changes:
        yield "No change."
    if pair.missing_mass:
        yield "Left out, no mass in both: " + ", ".join(pair.missing_mass) + "."
    for hint in pair.hints:
        yield (
            f"{hint.before} may now be called {hint.after} ({hint.why}): "
            f"record --renamed {hint.before}={hint.after}"
        )


def _pairing(pair: PairView) -> Table | None:
    rows = [[p.before, p.after, p.by] for p in pair.pairing if p.by != "name"]
    return table("Paired", [Head("before", "ref"), Head("after", "ref"), Head("by")], rows)
