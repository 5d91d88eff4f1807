"""Fit on a card as terminal text: fits and one of their chains, bays, ways round, screw grip, the outside."""

from collections.abc import Iterable

from lineage.reports import said
from lineage.reports.fit_words import LOOKS_RIGHT_RULE, can_be_turned, fit_so, outside_lines, turned_rows
from lineage.reports.text.layout import heading, table, wrapped
from lineage.reports.views.card import Card, ContributorView


def fits_text(card: Card) -> str:
    """Every fit against its need, and measured gaps against their chains."""
    rows = [
        [
            name,
            said.millimetres(fit.nominal_mm),
            said.millimetre_range(fit.worst_mm),
            said.need(fit.need_mm),
        ]
        for name, fit in card.fits.items()
    ]
    shown = table(["fit", "gap", "worst case", "need"], rows, "lrrr")
    so = "\n".join(wrapped(f"{name}: {fit_so(fit)}", "  ", "") for name, fit in card.fits.items())
    return "\n\n".join(text for text in (shown, so, _measured(card, card.measured_gaps)) if text)


def _measured(card: Card, names: Iterable[str]) -> str:
    """Residual, normalised error, and whether the need was met in fact."""
    rows = []
    for name in names:
        gap = card.measured_gaps[name]
        fit = card.fits[name]
        error = said.NOT_KNOWN if gap.normalised_error is None else f"{gap.normalised_error:.1f}"
        so = {True: "meets its need", False: "MISSES its need", None: ""}[gap.meets_need]
        if gap.normalised_error is not None and abs(gap.normalised_error) > 1:
            so += "; not what the chain says"
        measured = said.figure_mm(fit.measured_mm)
        rows.append([name, measured, said.signed_millimetres(gap.residual_mm), error, so])
    return table(["measured", "gap", "less worked out", "En", ""], rows, "lrrrw")


def chain_text(card: Card, name: str) -> str:
    """One chain term by term: where each tolerance comes from and what part of the spread is its own."""
    fit = card.fits[name]
    title = heading(f"{card.design}@{card.build}: the chain of {name}")
    rows = [_term(term) for term in fit.contributors]
    lines = [table(["dimension", "times", "nominal", "within ±", "± from", "share"], rows, "wrrrlr")]
    lines += [
        "",
        f"gap              {said.millimetres(fit.nominal_mm)}",
        f"worst case       {said.millimetre_range(fit.worst_mm)}",
        f"root sum square  {said.millimetre_range(fit.rss_mm)}",
        f"need             {said.need(fit.need_mm)}",
        wrapped(fit_so(fit), " " * 17, "so               "),
    ]
    return (
        "\n".join([title, *lines, *(["", _measured(card, [name])] if name in card.measured_gaps else [])])
        + "\n"
    )


def _term(term: ContributorView) -> list[str]:
    return [
        term.ref,
        f"{term.coefficient:+g}",
        said.millimetres(term.nominal_mm),
        said.NOT_KNOWN if term.tolerance_mm is None else said.millimetres(term.tolerance_mm),
        term.from_ or ("exact" if term.tolerance_mm == 0 else ""),
        "" if term.share is None else said.percent(term.share),
    ]


def bays_text(card: Card) -> str:
    """Whether everything goes into each bay, and what is to spare."""
    rows = [
        [
            name,
            {True: "goes in", False: "DOES NOT GO IN", None: "not found"}[bay.goes_in],
            said.percent(bay.fill),
            "" if bay.spare_mm is None else " x ".join(said.bare_mm(side) for side in bay.spare_mm) + " mm",
            bay.why or "",
        ]
        for name, bay in (card.bays or {}).items()
    ]
    return table(["bay", "", "full", "to spare", ""], rows, "llrrw")


def ways_round_text(card: Card) -> str:
    """What can go in wrong, what only looks right first."""
    told = table(["thing", ""], turned_rows(card), "ww")
    judged = any(way.looks_right for way in can_be_turned(card).values())
    return "\n".join([told, wrapped(LOOKS_RIGHT_RULE)]) if judged else told


def grips_text(card: Card) -> str:
    """Screws to look at."""
    rows = [
        [
            name,
            said.NOT_KNOWN if grip.engaged_turns is None else f"{grip.engaged_turns:.1f}",
            "" if grip.protrusion_mm is None else said.signed_millimetres(grip.protrusion_mm),
            "; ".join(grip.warnings),
        ]
        for name, grip in (card.grips or {}).items()
        if grip.warnings
    ]
    return table(["screws", "turns held", "beyond thread", ""], rows, "lrrw")


def outside_text(card: Card) -> str:
    """The outside against class and event."""
    return "\n".join(f"{name}: {what}" for name, what in outside_lines(card))
