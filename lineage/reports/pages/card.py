"""One build as a page."""

from collections.abc import Iterator, Mapping, Sequence
from math import ceil

from lineage.reports import said
from lineage.reports.charts.bays import bay_picture
from lineage.reports.charts.failures import failures_by_thing
from lineage.reports.charts.fit_ladder import fit_ladder, gap_against_need
from lineage.reports.charts.mass_by_role import mass_by_role
from lineage.reports.charts.plates import PlatePicture
from lineage.reports.pages.card_more import (
    ballast_lines,
    measured_gaps,
    mending_lines,
    moving,
    scales,
    spare_screws,
)
from lineage.reports.pages.methods import METHODS
from lineage.reports.pages.records import (
    Ladder,
    Line,
    Page,
    Section,
    Step,
    Tone,
    Verdict,
    filled,
    fold,
    pictures,
    tables,
)
from lineage.reports.pages.tables import Head, Table, table
from lineage.reports.views.card import AccessView, Card, FitView, WeightView

MAKE_SAFE = "Make the robot safe: power link out, weapon restraint on, wait for everything to stop."

MOST_NAMED = 4


def card_page(card: Card, plates: Sequence[PlatePicture] = ()) -> Page:
    """The answer, then the working."""
    sections = filled(
        _weight(card),
        scales(card),
        _access(card),
        spare_screws(card),
        _fits(card),
        _bays(card),
        _assembling(card),
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
    yield Line(name="recorded", said=said.recorded(card.on, card.build))
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
    chance = "" if weight.chance_over is None else f", chance of being over {said.likely(weight.chance_over)}"
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
        yield f"{known} of {whole} things have a mass. Not known: {', '.join(weight.items_without_mass)}."


def _answers(card: Card) -> Iterator[Line]:
    if card.fits:
        yield _fits_answer(card)
    if card.bays:
        bad = [name for name, bay in card.bays.items() if bay.goes_in is not True]
        told = f"not shown to go in: {', '.join(bad)}" if bad else "everything goes in"
        yield Line(name="bays", said=told, tone="open" if bad else "good")
    slowest = _slowest(card)
    if slowest is not None:
        yield slowest
    unmarked = [ref for ref, way in (card.wrong_ways or {}).items() if _goes_in_wrong(way)]
    if unmarked:
        yield Line(name="can go in wrong", said=_some(unmarked), tone="open")
    worst = next((item for item in card.failures.items if item.share is not None), None)
    if worst is not None:
        bouts = said.whole(card.failures.bouts, "bout")
        yield Line(name="fails most", said=f"{worst.at}, {worst.mode}: {worst.count} of {bouts}", tone="bad")
    elif card.failures.bouts:
        yield Line(name="failures", said=f"none in {said.whole(card.failures.bouts, 'bout')}", tone="good")


def _some(refs: Sequence[str]) -> str:
    """The first few of a list, and how many more."""
    if len(refs) <= MOST_NAMED:
        return ", ".join(refs)
    return f"{', '.join(refs[:MOST_NAMED])} and {len(refs) - MOST_NAMED} more"


def _fits_answer(card: Card) -> Line:
    missed = [name for name, fit in card.fits.items() if fit.fails_with]
    unsure = [name for name, fit in card.fits.items() if not fit.fails_with and fit.chance_missed is None]
    if missed:
        return Line(name="fits", said=f"need missed: {', '.join(missed)}", tone="bad")
    if unsure:
        return Line(name="fits", said=f"not worked out whole: {', '.join(unsure)}", tone="open")
    risky = [name for name, fit in card.fits.items() if (fit.chance_missed or 0) > 0.05]
    if risky:
        return Line(name="fits", said=f"may miss: {', '.join(risky)}", tone="open")
    return Line(name="fits", said="every need is met", tone="good")


def _slowest(card: Card) -> Line | None:
    timed = [(way.seconds.value, ref) for ref, way in card.access.items() if way.seconds is not None]
    if not timed:
        return None
    _, ref = max(timed)
    way = card.access[ref]
    tone: Tone = "bad" if way.fits_turnaround is False else "good" if way.fits_turnaround else "open"
    late = ", longer than the time between bouts" if way.fits_turnaround is False else ""
    return Line(name="slowest way in", said=f"{ref}, {said.seconds(way.seconds)}{late}", tone=tone)


def _goes_in_wrong(way: object) -> bool:
    count, marked = getattr(way, "orientations", None), getattr(way, "marked", None)
    return count is not None and count > 1 and not marked


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
        yield Line(name=f"limit of {card.class_.name}", said=said.grams_alone(card.class_.limit_g))
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
    if card.class_ is not None and card.class_.size_ok is False:
        yield "It is larger than the class allows."
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


# --- ways in, fits, bays ---------------------------------------------------------------------------------


def _access(card: Card) -> Section:
    """The things that a builder takes off by name; what is inside them is one click away."""
    inner = {ref: way for ref, way in card.access.items() if "." in ref}
    outer = {ref: way for ref, way in card.access.items() if "." not in ref}
    return Section(
        title="Ways in",
        name="ways-in",
        tables=tables(_ways("The cheapest way in to each thing", outer)),
        folds=fold("Ways in to what is inside modules", _ways("Inside modules", inner)),
        ladders=tuple(
            _ladder(ref, way) for ref, way in card.access.items() if way.screws is not None and _is_long(way)
        ),
        method="ways-in",
    )


def _ways(caption: str, ways: Mapping[str, AccessView]) -> Table | None:
    rows = [
        [
            ref,
            "no way" if way.screws is None else str(way.screws),
            said.seconds(way.seconds),
            ", ".join(way.tools),
            {True: "yes", False: "NO", None: ""}[way.fits_turnaround],
        ]
        for ref, way in ways.items()
    ]
    heads = [Head("to take off", "ref"), Head("screws", "figure"), Head("off and back on", "figure", "s"),
             Head("tools"), Head("between bouts")]  # fmt: skip
    return table(caption, heads, rows)


def _is_long(way: AccessView) -> bool:
    return bool(way.undo or way.off)


def _ladder(ref: str, way: AccessView) -> Ladder:
    steps = [Step(do=MAKE_SAFE)]
    steps += [Step(do="Undo", refs=(group,)) for group in way.undo]
    if way.off:
        steps.append(Step(do="Off come, each as soon as it is free:", refs=way.off))
    steps.append(Step(do="Take off", refs=(ref,)))
    timed = "" if way.seconds is None else f", {said.seconds(way.seconds)} off and back on"
    return Ladder(ref=ref, said=f"{said.whole(way.screws, 'screw')}{timed}", steps=tuple(steps))


def _fits(card: Card) -> Section:
    rows = [
        [
            name,
            said.millimetres(fit.nominal_mm),
            said.millimetre_range(fit.worst_mm),
            said.millimetre_range(fit.rss_mm),
            said.need(fit.need_mm),
            "" if fit.measured_mm is None else said.figure_mm(fit.measured_mm),
            _fit_word(fit),
        ]
        for name, fit in card.fits.items()
    ]
    heads = [Head("fit"), Head("gap", "figure", "mm"), Head("worst case", "word"), Head("root sum square", "word"),
             Head("need", "word"), Head("measured", "word"), Head("so", "text")]  # fmt: skip
    drawn = [
        (fit_ladder(name, card.fits[name], n), gap_against_need(name, card.fits[name], n))
        for n, name in enumerate(sorted(card.fits, key=lambda name: _nearness(card.fits[name])), 1)
    ]
    return Section(
        title="Fits",
        name="fits",
        tables=tables(table("Gaps and what they need", heads, rows), measured_gaps(card)),
        pictures=pictures(*(drawn[0] if drawn else ())),
        folds=(
            *fold("The other chains, drawn", drawn=pictures(*(p for pair in drawn[1:] for p in pair))),
            *fold("Term by term", *(_contributors(name, fit) for name, fit in card.fits.items())),
        ),
        method="fits",
    )


def _nearness(fit: FitView) -> tuple[bool, bool, float]:
    """The fit that misses its need, or is likeliest to, first."""
    return not fit.fails_with, fit.chance_missed is None, -(fit.chance_missed or 0.0)


def _fit_word(fit: FitView) -> str:
    if fit.nominal_mm is None:
        return "a part of it is not fitted"
    told = []
    if fit.fails_with:
        with_what = "; ".join(said.choices(choice) or "what is fitted" for choice in fit.fails_with)
        told.append(f"MISSES its need with {with_what}")
    if fit.missing:
        told.append("tolerance not known: " + ", ".join(fit.missing))
    if fit.chance_missed is not None:
        told.append(f"missed {said.likely(fit.chance_missed)}")
    if fit.tighten_first and (fit.chance_missed is None or fit.chance_missed > 0.05):
        told.append(f"tighten first {fit.tighten_first}")
    return "; ".join(told)


def _contributors(name: str, fit: FitView) -> Table | None:
    rows = [
        [
            c.ref,
            f"{c.coefficient:+g}",
            said.millimetres(c.nominal_mm),
            said.NOT_KNOWN if c.tolerance_mm is None else said.millimetres(c.tolerance_mm),
            c.from_ or "",
            "" if c.share is None else said.percent(c.share),
        ]
        for c in fit.contributors
    ]
    heads = [Head("dimension", "ref"), Head("times", "word"), Head("nominal", "figure", "mm"),
             Head("within ±", "figure", "mm"), Head("± from"), Head("share of variance", "word")]  # fmt: skip
    return table(f"Chain of {name}", heads, rows)


def _bays(card: Card) -> Section:
    bays = card.bays or {}
    rows = [
        [
            name,
            {True: "goes in", False: "DOES NOT GO IN", None: "no placement found"}[bay.goes_in],
            said.percent(bay.fill),
            "" if bay.spare_mm is None else " x ".join(said.bare_mm(side) for side in bay.spare_mm),
            bay.why or "",
        ]
        for name, bay in bays.items()
    ]
    heads = [
        Head("bay"),
        Head("so", "word"),
        Head("full", "word"),
        Head("to spare", "word", "mm"),
        Head("why"),
    ]
    drawn = [bay_picture(name, bay, n) for n, (name, bay) in enumerate(bays.items(), 1)]
    return Section(
        title="Bays",
        name="bays",
        tables=tables(table("What goes in", heads, rows)),
        bays=tuple(picture for picture in drawn if picture is not None),
        method="bays",
    )


def _assembling(card: Card) -> Section:
    turned = [
        [
            ref,
            str(way.orientations),
            "marked" if way.marked else "NOT MARKED: it can go in wrong",
            "" if way.nearest_mm is None else said.millimetres(way.nearest_mm),
        ]
        for ref, way in (card.wrong_ways or {}).items()
        if way.orientations is not None and way.orientations > 1
    ]
    screws = [
        [
            name,
            said.NOT_KNOWN if grip.engaged_turns is None else f"{grip.engaged_turns:.1f}",
            "" if grip.protrusion_mm is None else said.millimetres(grip.protrusion_mm),
            "; ".join(grip.warnings),
        ]
        for name, grip in (card.grips or {}).items()
        if grip.warnings
    ]
    return Section(
        title="Putting it together",
        name="assembling",
        tables=tables(
            table("Ways round a thing goes in",
                  [Head("thing", "ref"), Head("ways round", "figure"), Head("so"),
                   Head("the next nearest is off by", "figure", "mm")], turned),
            table("Screws to look at",
                  [Head("screws", "ref"), Head("turns held", "figure"), Head("sticks out", "figure", "mm"),
                   Head("so")], screws),
        ),
        method="assembling",
    )  # fmt: skip


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
