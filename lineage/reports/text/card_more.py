"""The rest of a card as terminal text: what spins, what drives and what the scales say."""

from collections.abc import Sequence

from lineage.reports import said
from lineage.reports.text.layout import safe, table, wrapped
from lineage.reports.views.card import Card
from lineage.reports.views.card_more import SuspectView

MOST_SUSPECTS, MOST_OF_SOME = 5, 3


def spin_text(card: Card) -> str:
    """Spinning parts, for information."""
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
    shown = table(["part", "rpm", "moment of inertia", "energy", "tip speed"], rows, "lrrrr")
    return f"{shown}\nfor information, not for choosing a test box" if shown else ""


def drive_text(card: Card) -> str:
    """Speed and push, losses left out, beside what was read on the bench."""
    drive = card.drive
    if drive is None:
        return ""
    rows = [
        ["top speed", said.NOT_KNOWN if drive.top_speed_m_s is None else f"{drive.top_speed_m_s:.1f} m/s"],
        ["push at the current limit", said.NOT_KNOWN if drive.push_N is None else f"{drive.push_N:.1f} N"],
        ["grip limit", said.NOT_KNOWN if drive.grip_limit_N is None else f"{drive.grip_limit_N.value:.1f} N"],
    ]
    rows += [[f"{safe(of)}, read on the bench", f"{read.value:.1f} N"] for of, read in drive.read.items()]
    first = {"grip": "the wheels slip first", "current limit": "the current limit comes first"}.get(
        drive.first or ""
    )
    shown = table(["", "losses left out"], rows, "lr")
    return f"{shown}\n{first}" if first else shown


def scales_text(card: Card) -> str:
    """Weighings of parts of the build, and what the spec probably lacks."""
    rows = [
        [
            ", ".join(w.of) or "the rest",
            said.grams(w.measured_g),
            said.grams(w.predicted_g),
            said.signed_figure_g(w.difference_g),
            said.NOT_KNOWN if w.normalised_error is None else f"{w.normalised_error:.1f}",
        ]
        for w in card.weighings
    ]
    lines = (
        [table(["weighed", "on the scale", "worked out", "difference", "En"], rows, "wrrrr")] if rows else []
    )
    for weighed in card.weighings:
        if weighed.suspects:
            lines.append(wrapped(f"of {', '.join(weighed.of)}, likeliest first:", "  ", ""))
            lines += _numbered(weighed.suspects[:MOST_OF_SOME])
    if card.suspects:
        lines.append("of the whole, likeliest first:")
        lines += _numbered(card.suspects[:MOST_SUSPECTS])
    return "\n".join(lines)


def _numbered(suspects: Sequence[SuspectView]) -> list[str]:
    return [_suspect(number, suspect) for number, suspect in enumerate(suspects, 1)]


def _suspect(number: int, suspect: SuspectView) -> str:
    grams = "" if suspect.grams is None else f", up to {said.grams_alone(suspect.grams)}"
    return wrapped(f"{number}. {suspect.what} ({', '.join(suspect.about)}): {suspect.why}{grams}", "   ", "")
