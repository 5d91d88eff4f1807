"""Fit on the page of a card: gaps and their chains, bays, the outside, ways round and screw grip."""

from lineage.reports import said
from lineage.reports.charts.bays import bay_picture
from lineage.reports.charts.fit_ladder import fit_ladder, gap_against_need
from lineage.reports.fit_words import can_be_turned, fit_so, is_missed, outside_lines, way_round_so
from lineage.reports.pages.records import Line, Section, fold, pictures, tables
from lineage.reports.pages.tables import Head, Table, table
from lineage.reports.views.card import Card, FitView, GripView


def fits(card: Card) -> Section:
    """Every fit against its need; the nearest to a miss is drawn, the others one click away."""
    rows = [
        [
            name,
            said.millimetres(fit.nominal_mm),
            said.millimetre_range(fit.worst_mm),
            said.millimetre_range(fit.rss_mm),
            said.need(fit.need_mm),
            "" if fit.measured_mm is None else said.figure_mm(fit.measured_mm),
            fit_so(fit),
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
        lines=tuple(Line(name=name, said=what) for name, what in outside_lines(card)),
        tables=tables(table("Gaps and what they need", heads, rows), _measured_gaps(card)),
        pictures=pictures(*(drawn[0] if drawn else ())),
        folds=(
            *fold("The other chains, drawn", drawn=pictures(*(p for pair in drawn[1:] for p in pair))),
            *fold("Term by term", *(_contributors(name, fit) for name, fit in card.fits.items())),
        ),
        method="fits",
    )


def _nearness(fit: FitView) -> tuple[bool, bool, float]:
    """The fit that misses its need, or is likeliest to, first."""
    return not is_missed(fit), fit.chance_missed is None, -(fit.chance_missed or 0.0)


def _contributors(name: str, fit: FitView) -> Table | None:
    rows = [
        [
            c.ref,
            f"{c.coefficient:+g}",
            said.millimetres(c.nominal_mm),
            said.NOT_KNOWN if c.tolerance_mm is None else said.millimetres(c.tolerance_mm),
            c.from_ or ("exact" if c.tolerance_mm == 0 else ""),
            "" if c.share is None else said.percent(c.share),
        ]
        for c in fit.contributors
    ]
    heads = [Head("dimension", "ref"), Head("times", "word"), Head("nominal", "figure", "mm"),
             Head("within ±", "figure", "mm"), Head("± from"), Head("share of variance", "word")]  # fmt: skip
    return table(f"Chain of {name}", heads, rows)


def _measured_gaps(card: Card) -> Table | None:
    """Measured gaps against their chains."""
    rows = [
        [
            name,
            said.signed_millimetres(gap.residual_mm),
            said.NOT_KNOWN if gap.normalised_error is None else f"{gap.normalised_error:.1f}",
            {True: "meets its need", False: "MISSES its need", None: ""}[gap.meets_need],
        ]
        for name, gap in card.measured_gaps.items()
    ]
    heads = [Head("fit"), Head("measured less worked out", "figure", "mm"), Head("normalised error", "figure"),
             Head("so")]  # fmt: skip
    return table("Measured gaps", heads, rows)


def bays(card: Card) -> Section:
    """Whether everything goes into each bay, and how."""
    found = card.bays or {}
    rows = [
        [
            name,
            {True: "goes in", False: "DOES NOT GO IN", None: "no placement found"}[bay.goes_in],
            said.percent(bay.fill),
            "" if bay.spare_mm is None else " x ".join(said.bare_mm(side) for side in bay.spare_mm),
            bay.why or "",
        ]
        for name, bay in found.items()
    ]
    heads = [
        Head("bay"),
        Head("so", "word"),
        Head("full", "word"),
        Head("to spare", "word", "mm"),
        Head("why"),
    ]
    drawn = [bay_picture(name, bay, n) for n, (name, bay) in enumerate(found.items(), 1)]
    return Section(
        title="Bays",
        name="bays",
        tables=tables(table("What goes in", heads, rows)),
        bays=tuple(picture for picture in drawn if picture is not None),
        method="bays",
    )


def assembling(card: Card) -> Section:
    """Ways round that can go wrong, and how far screws hold."""
    turned = [
        [
            ref,
            "" if way.orientations is None else str(way.orientations),
            "" if way.nearest_mm is None else said.millimetres(way.nearest_mm),
            way_round_so(way),
        ]
        for ref, way in can_be_turned(card).items()
    ]
    grips = card.grips or {}
    warned = {name: grip for name, grip in grips.items() if grip.warnings}
    known = {name: grip for name, grip in grips.items() if grip.engaged_turns is not None}
    heads = [Head("thing", "ref"), Head("ways round", "figure"), Head("nearest wrong way is off by", "figure", "mm"),
             Head("so", "text")]  # fmt: skip
    return Section(
        title="Putting it together",
        name="assembling",
        tables=tables(
            table("Ways round a thing goes in", heads, turned),
            _grips("Screws to look at", warned),
        ),
        folds=fold("Every group whose grip is known", _grips("Screw grip", known)),
        method="assembling",
    )


def _grips(caption: str, grips: dict[str, GripView]) -> Table | None:
    rows = [
        [
            name,
            said.NOT_KNOWN if grip.engaged_turns is None else f"{grip.engaged_turns:.1f}",
            "" if grip.protrusion_mm is None else said.millimetres(grip.protrusion_mm),
            "; ".join(grip.warnings),
        ]
        for name, grip in grips.items()
    ]
    heads = [Head("screws", "ref"), Head("turns held", "figure"), Head("beyond the thread", "figure", "mm"),
             Head("so", "text")]  # fmt: skip
    return table(caption, heads, rows)
