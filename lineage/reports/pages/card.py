"""One build as a page."""

from collections.abc import Iterator, Sequence
from math import ceil

from lineage.reports import said
from lineage.reports.charts.failures import failures_by_thing
from lineage.reports.charts.mass_by_role import mass_by_role
from lineage.reports.charts.plates import PlatePicture
from lineage.reports.fit_words import can_be_turned, is_missed, is_risky
from lineage.reports.pages.card_fit import assembling, bays, fits
from lineage.reports.pages.card_more import ballast_lines, moving, scales
from lineage.reports.pages.card_service import access, mending_lines, spare_screws
from lineage.reports.pages.methods import METHODS
from lineage.reports.pages.records import (
    Line,
    Page,
    Section,
    Tone,
    Verdict,
    filled,
    fold,
    pictures,
    tables,
)
from lineage.reports.pages.tables import Head, Table, table
from lineage.reports.views.card import Card, WeightView
from lineage.values.formatting import noun

MOST_NAMED = 4


def card_page(card: Card, plates: Sequence[PlatePicture] = ()) -> Page:
    """The answer, then the working."""
    sections = filled(
        _weight(card),
        scales(card),
        access(card),
        spare_screws(card),
        fits(card),
        bays(card),
        assembling(card),
        moving(card),
        _failures(card),
        _bench(card),
        Section(title="Plates", name="plates", plates=tuple(plates)),
    )
    return Page(
        kind="Build card",
        title=f"{card.design}@{card.build}",
        block=tuple(_block(card)),
        verdict=_verdict(card),
        answers=tuple(_answers(card)),
        cautions=card.cautions,
        sections=sections,
        methods=METHODS,
    )


def _block(card: Card) -> Iterator[Line]:
    yield Line(name="design", said=card.design)
    yield Line(name="build", said=card.build)
    yield Line(name="recorded", said=card.on or said.recorded(card.on, card.build))
    if card.class_ is not None:
        yield Line(name="class", said=f"{card.class_.name}, limit {said.grams_alone(card.class_.limit_g)}")
    if card.title:
        yield Line(name="title", said=card.title)


# --- the answer ------------------------------------------------------------------------------------------


def _verdict(card: Card) -> Verdict:
    weight, margin = card.weight, card.weight.margin_g
    if card.class_ is None:
        word = "Predicted" if weight.measured_g is None else "Weighed"
        return Verdict(tone="open", word=word, said=said.grams(weight.measured_g or weight.predicted_g))
    if margin is None:
        return Verdict(
            tone="open",
            word="Margin not known",
            said=f"predicted {said.grams(weight.predicted_g)}",
            do=tuple(_missing(weight)),
        )
    over = margin.value < 0
    sure = weight.chance_over is not None and weight.chance_over < 0.05
    chance = (
        "" if weight.chance_over is None else f", chance of being over: {said.likely(weight.chance_over)}"
    )
    return Verdict(
        tone="bad" if over else "good" if sure else "open",
        word="Over the limit" if over else "Under the limit",
        said=f"margin {said.grams(margin)}{chance}",
        do=tuple(_what_to_do(weight)),
    )


def _what_to_do(weight: WeightView) -> Iterator[str]:
    assert weight.margin_g is not None
    if weight.margin_g.value < 0:
        # Rounded up: a tenth less than what is over is still over.
        yield f"Take off at least {said.grams_alone(ceil(round(-weight.margin_g.value * 10, 6)) / 10)}."
    elif weight.chance_over is not None and weight.chance_over >= 0.05:
        yield "Too near to call from here: weigh it, or make room."
    if weight.chance_over is None:
        yield "Wire, tape and solder are not counted: no build of the class was weighed."


def _missing(weight: WeightView) -> Iterator[str]:
    if weight.items_without_mass:
        known = weight.known_items
        whole = known + len(weight.items_without_mass)
        lacking = ", ".join(weight.items_without_mass)
        yield f"{known} of {said.whole(whole, 'thing')} {noun(whole, 'has', 'have')} a mass. Not known: {lacking}."


def _answers(card: Card) -> Iterator[Line]:
    if card.fits:
        yield _fits_answer(card)
    if card.class_ is not None and card.class_.size_ok is False:
        yield Line(name="size", said="larger than allowed", tone="bad")
    if card.bays:
        bad = [name for name, bay in card.bays.items() if bay.goes_in is not True]
        told = f"not shown to go in: {', '.join(bad)}" if bad else "everything goes in"
        yield Line(name="bays", said=told, tone="open" if bad else "good")
    slowest = _slowest(card)
    if slowest is not None:
        yield slowest
    unmarked = [ref for ref, way in can_be_turned(card).items() if way.can_go_wrong]
    if unmarked:
        yield Line(name="can go in wrong", said=_some(unmarked), tone="open")
    worst = next((item for item in card.failures.items if item.share is not None), None)
    if worst is not None:
        bouts = said.whole(card.failures.bouts, "bout")
        yield Line(name="fails most", said=f"{worst.at}, {worst.mode}: {worst.count} of {bouts}", tone="bad")
    elif card.failures.bouts:
        yield Line(name="failures", said=f"none in {said.whole(card.failures.bouts, 'bout')}", tone="open")


def _some(refs: Sequence[str]) -> str:
    """The first few of a list, and how many more."""
    if len(refs) <= MOST_NAMED:
        return ", ".join(refs)
    return f"{', '.join(refs[:MOST_NAMED])} and {len(refs) - MOST_NAMED} more"


def _fits_answer(card: Card) -> Line:
    missed = [name for name, fit in card.fits.items() if is_missed(fit)]
    unsure = [name for name, fit in card.fits.items() if not is_missed(fit) and fit.chance_missed is None]
    if missed:
        return Line(name="fits", said=f"need missed: {', '.join(missed)}", tone="bad")
    if unsure:
        return Line(name="fits", said=f"not worked out whole: {', '.join(unsure)}", tone="open")
    risky = [name for name, fit in card.fits.items() if is_risky(fit)]
    if risky:
        return Line(name="fits", said=f"may miss: {', '.join(risky)}", tone="open")
    unlikely = [name for name, fit in card.fits.items() if fit.holds == "by root sum square"]
    if unlikely:
        return Line(name="fits", said=f"unlikely to miss, but can: {', '.join(unlikely)}", tone="good")
    return Line(name="fits", said="every need is met, in the worst case too", tone="good")


def _slowest(card: Card) -> Line | None:
    timed = [(way.seconds.value, ref) for ref, way in card.access.items() if way.seconds is not None]
    if not timed:
        return None
    _, ref = max(timed)
    way = card.access[ref]
    tone: Tone = "bad" if way.fits_turnaround is False else "good" if way.fits_turnaround else "open"
    late = ", longer than the time between bouts" if way.fits_turnaround is False else ""
    chance = "" if way.chance_in_time is None else f", in time {said.likely(way.chance_in_time)}"
    return Line(name="slowest way in", said=f"{ref}, {said.seconds(way.seconds)}{chance}{late}", tone=tone)


# --- weight ----------------------------------------------------------------------------------------------


def _weight(card: Card) -> Section:
    weight = card.weight
    may_be = weight.role_may_be or {}
    roles = [
        [role, said.grams_alone(mass), said.grams_alone(may_be[role].may_be_g) if role in may_be else ""]
        for role, mass in sorted(weight.by_role_g.items(), key=lambda item: (-item[1], item[0]))
    ]
    return Section(
        title="Weight",
        name="weight",
        lines=tuple(_weight_lines(card)),
        notes=tuple(_weight_notes(card)),
        pictures=pictures(mass_by_role(card)),
        tables=tables(
            table(
                "By role", [Head("role"), Head("weighs", "figure", "g"), Head("may be", "figure", "g")], roles
            ),
            _choices(weight),
        ),
        folds=(
            *fold("Every thing", _items(weight)),
            *fold(
                "By material and by module",
                _shares("By material", "material", weight.by_material_g),
                _shares("By module", "module", weight.by_module_g),
            ),
        ),
        method="weight",
    )


def _weight_lines(card: Card) -> Iterator[Line]:
    weight = card.weight
    yield Line(name="predicted", said=said.grams(weight.predicted_g))
    if weight.usual_gap_g is not None:
        gap = weight.usual_gap_g
        builds = said.whole(gap.builds, "weighed build")
        yield Line(name="usual gap: wire, tape, solder", said=f"{said.signed_grams(gap.value)} over {builds}")
    if weight.measured_g is not None:
        yield Line(name=f"weighed on {weight.measured_on}", said=said.grams(weight.measured_g))
    if card.class_ is not None:
        at = "" if card.class_.limit_at is None else f" at {card.class_.limit_at}"
        yield Line(name=f"limit of {card.class_.name}{at}", said=said.grams_alone(card.class_.limit_g))
        yield Line(name="margin", said=said.grams(weight.margin_g))
    yield from ballast_lines(card)
    if weight.chance_over is not None:
        yield Line(name="chance of being over", said=said.likely(weight.chance_over))
    if weight.balance is not None:
        x, y, z = (said.figure_mm(axis) for axis in weight.balance.centre_mm)
        yield Line(name="centre of mass, x · y · z", said=f"{x} · {y} · {z}")
        yield Line(name="of which the place is known", said=said.grams_alone(weight.balance.known_mass_g))


def _weight_notes(card: Card) -> Iterator[str]:
    weight = card.weight
    yield from _missing(weight)
    if weight.normalised_error is not None and abs(weight.normalised_error) > 1:
        more = "heavier" if weight.normalised_error > 0 else "lighter"
        yield f"The scales say clearly {more} than the spec (normalised error {weight.normalised_error:.1f})."
    if card.class_ is not None and card.class_.materials_against:
        yield f"Materials that the class does not allow: {', '.join(card.class_.materials_against)}."


def _choices(weight: WeightView) -> Table | None:
    rows = [
        [f"{option}: {choice}", said.grams_alone(mass)]
        for option, masses in weight.choices.items()
        for choice, mass in masses.items()
    ]
    return table("By choice", [Head("choice"), Head("it weighs", "figure", "g")], rows)


def _items(weight: WeightView) -> Table | None:
    rows = [
        [item.ref, item.kind, str(item.count), said.grams(item.mass_g), item.basis or ""]
        for item in weight.items
    ]
    heads = [Head("thing", "ref"), Head("kind"), Head("count", "figure"), Head("mass", "figure", "g"),
             Head("mass from")]  # fmt: skip
    return table("Every thing", heads, rows)


def _shares(caption: str, name: str, shares: object) -> Table | None:
    assert hasattr(shares, "items")
    rows = [
        [key, said.grams_alone(mass)] for key, mass in sorted(shares.items(), key=lambda i: (-i[1], i[0]))
    ]
    return table(caption, [Head(name), Head("weighs", "figure", "g")], rows)


# --- what was logged -------------------------------------------------------------------------------------


def _failures(card: Card) -> Section:
    failures = card.failures
    if not failures.bouts and not failures.items and not failures.found:
        return Section(title="Failures", name="failures")
    minutes = said.NOT_KNOWN if failures.minutes is None else f"{failures.minutes:.1f} min"
    rows = [
        [
            item.at,
            item.mode,
            item.severity,
            f"{item.count} listed" if item.share is None else f"{item.count} of {failures.bouts}",
            "" if item.share is None else said.share_limits(item.share.low, item.share.high),
            "" if item.cost_s is None else said.duration(item.cost_s),
        ]
        for item in failures.items
    ]
    heads = [Head("thing", "ref"), Head("what"), Head("how bad"), Head("bouts", "word"),
             Head("95 % limits", "word"), Head("took", "word")]  # fmt: skip
    found = [[f.at, f.mode, str(f.count)] for f in failures.found]
    notes = list(failures.left_out)
    if failures.unmatched:
        notes.insert(0, f"{said.whole(failures.unmatched, 'bout')} with damage at a place that nobody knows.")
    return Section(
        title="Failures",
        name="failures",
        lines=(
            Line(name="bouts fought in this build", said=str(failures.bouts)),
            Line(name="running time", said=minutes),
            *mending_lines(card),
        ),
        notes=tuple(notes),
        pictures=pictures(failures_by_thing(card)),
        tables=tables(
            table("What failed", heads, rows),
            table(
                "Found at strip-down", [Head("thing", "ref"), Head("what"), Head("bouts", "figure")], found
            ),
        ),
        method="failures",
    )


def _bench(card: Card) -> Section:
    snags = [
        [snag.mode, snag.at or "", snag.during, str(snag.count), said.duration(snag.cost_s)]
        for snag in card.snags
    ]
    trials = [[t.of, f"{t.passed} of {t.tries}", said.share_limits(t.low, t.high)] for t in card.trials]
    return Section(
        title="At the bench",
        name="bench",
        tables=tables(
            table("Snags", [Head("what"), Head("at", "ref"), Head("during"), Head("times", "figure"),
                            Head("cost", "word")], snags),
            table("Trials", [Head("trial"), Head("passed", "word"), Head("95 % limits", "word")], trials),
        ),
        method="bench",
    )  # fmt: skip
