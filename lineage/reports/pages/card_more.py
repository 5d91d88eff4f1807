"""The rest of a card as a page: what spins and drives, what the scales say."""

from collections.abc import Iterator

from lineage.reports import said
from lineage.reports.pages.records import Line, Section, tables
from lineage.reports.pages.tables import Head, Table, table
from lineage.reports.views.card import Card

MOST_SUSPECTS, MOST_OF_SOME = 5, 3


def ballast_lines(card: Card) -> Iterator[Line]:
    """How much ballast may go in, or has to come out."""
    if card.ballast_g is not None:
        grams = said.grams_alone(abs(card.ballast_g))
        name = "room for ballast" if card.ballast_g > 0 else "has to come out"
        yield Line(name=f"{name}, for a chance of {said.likely(card.ballast_risk)} of being over", said=grams)


def scales(card: Card) -> Section:
    """Weighings of parts of the build, and what the spec probably lacks."""
    rows = [
        [
            ", ".join(w.of) or "the rest",
            w.on,
            said.grams(w.measured_g),
            said.grams(w.predicted_g),
            said.signed_figure_g(w.difference_g),
            said.NOT_KNOWN if w.normalised_error is None else f"{w.normalised_error:.1f}",
        ]
        for w in card.weighings
    ]
    heads = [Head("weighed"), Head("on", "word"), Head("on the scale", "figure", "g"),
             Head("worked out", "figure", "g"), Head("difference", "figure", "g"),
             Head("normalised error", "figure")]  # fmt: skip
    return Section(
        title="On the scales",
        name="scales",
        tables=tables(table("Weighings", heads, rows), _suspects_of_some(card)),
        notes=("What the spec may lack or have wrong, likeliest first:",) if card.suspects else (),
        items=tuple(_suspects(card)),
        order=True,
        method="scales",
    )


def _suspects_of_some(card: Card) -> Table | None:
    rows = [
        [
            ", ".join(w.of),
            suspect.what,
            ", ".join(suspect.about),
            suspect.why,
            said.grams_alone(suspect.grams),
        ]
        for w in card.weighings
        for suspect in w.suspects[:MOST_OF_SOME]
    ]
    heads = [Head("weighed"), Head("what"), Head("of", "ref"), Head("why"), Head("up to", "figure", "g")]
    return table("What may be wrong in them, likeliest first", heads, rows)


def _suspects(card: Card) -> Iterator[str]:
    for suspect in card.suspects[:MOST_SUSPECTS]:
        grams = "" if suspect.grams is None else f", up to {said.grams_alone(suspect.grams)}"
        yield f"{suspect.what} ({', '.join(suspect.about)}): {suspect.why}{grams}"


def moving(card: Card) -> Section:
    """What spins and what drives."""
    drive = card.drive
    return Section(
        title="What spins and drives",
        name="moving",
        lines=() if drive is None else tuple(_drive(card)),
        tables=tables(_spin(card)),
        notes=("For information, not for choosing a test box.",) if card.spin else (),
        method="moving",
    )


def _spin(card: Card) -> Table | None:
    rows = [
        [
            spin.ref,
            f"{spin.rpm:.0f}",
            said.inertia(spin.inertia_kg_m2),
            said.NOT_KNOWN if spin.energy_J is None else f"{spin.energy_J.value:.0f} J",
            said.NOT_KNOWN if spin.tip_m_s is None else f"{spin.tip_m_s:.0f} m/s",
        ]
        for spin in card.spin
    ]
    heads = [Head("part", "ref"), Head("speed", "figure", "rpm"), Head("moment of inertia", "word"),
             Head("energy", "figure", "J"), Head("tip speed", "figure", "m/s")]  # fmt: skip
    return table("What spins", heads, rows)


def _drive(card: Card) -> Iterator[Line]:
    drive = card.drive
    assert drive is not None
    first = {"grip": "the wheels slip first", "current limit": "the current limit comes first"}
    yield Line(name="top speed, losses left out", said=_or_not_known(drive.top_speed_m_s, "m/s"))
    yield Line(name="push at the current limit, losses left out", said=_or_not_known(drive.push_N, "N"))
    limit = None if drive.grip_limit_N is None else drive.grip_limit_N.value
    yield Line(name="grip limit", said=_or_not_known(limit, "N"))
    for of, read in drive.read.items():
        yield Line(name=f"{of}, read on the bench", said=f"{read.value:.1f} N")
    if drive.first in first:
        yield Line(name="what ends the push", said=first[drive.first])


def _or_not_known(value: float | None, unit: str) -> str:
    return said.NOT_KNOWN if value is None else f"{value:.1f} {unit}"
