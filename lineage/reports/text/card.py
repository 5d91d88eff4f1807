"""A card as terminal text: the answer first, the working below."""

from collections.abc import Iterator

from lineage.reports import said
from lineage.reports.text.card_fit import bays_text, fits_text, grips_text, outside_text, ways_round_text
from lineage.reports.text.card_more import drive_text, scales_text, spin_text
from lineage.reports.text.card_service import access_text, load_lines, spare_screws_text, timed_text
from lineage.reports.text.card_weight import balance_text, choices_text, roles_text, weight_text
from lineage.reports.text.layout import bulleted, heading, safe, table, wrapped
from lineage.reports.views.card import Card


def card_text(card: Card) -> str:
    """The whole card."""
    return "\n\n".join(block for block in _blocks(card) if block) + "\n"


def _blocks(card: Card) -> Iterator[str]:
    name = f"{card.design}@{card.build}"
    title = f"{name}  {safe(card.title)}" if card.title else name
    recorded = said.recorded(card.on, card.build)
    yield f"{heading(title)}\n{recorded}"
    yield _named("Weight", weight_text(card))
    yield _named("Weight by role", roles_text(card.weight))
    yield _named("Weight by choice", choices_text(card.weight))
    yield _named("Balance", balance_text(card.weight))
    yield _named("What the scales say", scales_text(card))
    yield _named("Ways in", access_text(card))
    yield _named("Timed services", timed_text(card))
    yield _named("Screws that could go, by your own rules", spare_screws_text(card))
    yield _named("Size", outside_text(card))
    yield _named("Fits", fits_text(card))
    yield _named("Bays", bays_text(card))
    yield _named("Ways round", ways_round_text(card))
    yield _named("Screw grip", grips_text(card))
    yield _named("What spins", spin_text(card))
    yield _named("Drive", drive_text(card))
    yield _named("Failures", _failures(card))
    yield _named("Snags", _snags(card))
    yield _named("Trials", _trials(card))
    yield _named("Cautions", bulleted(card.cautions))


def _named(name: str, body: str) -> str:
    return f"{heading(name)}\n{body}" if body else ""


def _failures(card: Card) -> str:
    failures = card.failures
    if not failures.bouts and not failures.items:
        return ""
    minutes = "minutes not known" if failures.minutes is None else f"{failures.minutes:.1f} min"
    lines = [f"{said.whole(failures.bouts, 'bout')}, {minutes}"]
    rows = []
    for item in failures.items:
        share = "listed" if item.share is None else f"{item.count} of {failures.bouts}"
        limits = ""
        if item.share is not None:
            limits = f"{said.percent(item.share.low)} to {said.percent(item.share.high)}"
        rows.append([safe(item.at), safe(item.mode), item.severity, share, limits])
    if rows:
        lines.append(table(["thing", "what", "", "bouts", "95 % limits"], rows, "lwlrr"))
    if failures.found:
        found = [[safe(f.at), safe(f.mode), str(f.count)] for f in failures.found]
        lines.append(table(["found at strip-down", "what", "bouts"], found, "lwr"))
    lines += [wrapped(text) for text in load_lines(card)]
    if failures.unmatched:
        lines.append(f"{said.whole(failures.unmatched, 'bout')} with damage at a place that nobody knows")
    lines += [wrapped(text) for text in failures.left_out]
    return "\n".join(lines)


def _snags(card: Card) -> str:
    rows = [
        [snag.during, safe(snag.at or ""), safe(snag.mode), str(snag.count), said.duration(snag.cost_s)]
        for snag in card.snags
    ]
    return table(["during", "at", "what", "times", "cost"], rows, "llwrr")


def _trials(card: Card) -> str:
    rows = [
        [safe(t.of), f"{t.passed} of {t.tries}", f"{said.percent(t.low)} to {said.percent(t.high)}"]
        for t in card.trials
    ]
    return table(["trial", "passed", "95 % limits"], rows, "lrr")
