"""States side by side as terminal text: totals first, then each change with its share."""

from collections.abc import Iterator, Sequence

from lineage.reports import said
from lineage.reports.text.layout import heading, safe, table, wrapped
from lineage.reports.text.todo import work_blocks
from lineage.reports.views.card import Card
from lineage.reports.views.compare import ChangeView, Compare, HintView, PairView


def compare_text(view: Compare) -> str:
    """The whole comparison."""
    names = " · ".join(f"{card.design}@{card.build}" for card in view.designs)
    blocks = [heading(names), _beside(view.designs)]
    blocks += _shared(view)
    for pair in view.pairs:
        blocks += _pair(pair)
    return "\n\n".join(block for block in blocks if block) + "\n"


def _beside(cards: Sequence[Card]) -> str:
    head = ["", *(f"{card.design}@{card.build}" for card in cards)]
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
    return table(head, rows, "l" + "r" * len(cards))


def _of_limit(card: Card) -> str:
    if card.class_ is None or card.weight.predicted_g is None:
        return said.NOT_KNOWN
    return said.percent(card.weight.predicted_g.value / card.class_.limit_g)


def _slowest(card: Card) -> str:
    times = [(way.seconds.value, ref) for ref, way in card.access.items() if way.seconds is not None]
    if not times:
        return said.NOT_KNOWN
    seconds, ref = max(times)
    return f"{said.duration(seconds)} ({ref})"


def _least_gap(card: Card) -> str:
    gaps = [(fit.nominal_mm, name) for name, fit in card.fits.items() if fit.nominal_mm is not None]
    return f"{said.millimetres(min(gaps)[0])} ({min(gaps)[1]})" if gaps else said.NOT_KNOWN


def _shared(view: Compare) -> Iterator[str]:
    rows = []
    for module in view.shared.modules:
        builds = ", ".join(
            f"{design} {label}" for design, label in module.builds.items() if label is not None
        )
        rows.append([module.name, builds, ", ".join(module.lags)])
    if rows and len({card.design for card in view.designs}) > 1:
        yield f"{heading('Shared modules')}\n{table(['module', 'builds', 'lags'], rows, 'lwl')}"


def _pair(pair: PairView) -> Iterator[str]:
    lines = [f"mass {_total(pair.totals.mass_g.before, pair.totals.mass_g.after)}"]
    if pair.weighed_g is not None:
        lines.append(f"on the scales {said.grams(pair.weighed_g.change)} change")
    if pair.missing_mass:
        lines.append(wrapped("left out, no mass in both: " + ", ".join(pair.missing_mass)))
    for name, gap in pair.totals.gaps_mm.items():
        if gap.change:
            lines.append(f"gap {name} {said.millimetres(gap.before)} → {said.millimetres(gap.after)}")
    yield f"{heading(f'{pair.before} → {pair.after}')}\n" + "\n".join(lines)
    real = [change for change in pair.changes if not change.described_better]
    described = [change for change in pair.changes if change.described_better]
    if not pair.changes:
        yield "No change."
    yield from changes_text(real)
    if described:
        yield heading("Only described better")
        yield from changes_text(described)
    if pair.hints:
        hints = [hint_text(hint) for hint in pair.hints]
        yield f"{heading('Renamed?')}\n" + "\n".join(hints)
    if not pair.siblings:
        work = list(work_blocks(pair.todo))
        if work:
            yield heading("To do, to get from one to the other")
            yield from work


def hint_text(hint: HintView) -> str:
    """What may be one thing renamed, and how to say so."""
    return wrapped(
        f"{hint.before} may now be called {hint.after} ({hint.why}): "
        f"lineage record --renamed {hint.before}={hint.after}",
        "  ",
    )


def _total(before: float | None, after: float | None) -> str:
    if before is None or after is None:
        return said.NOT_KNOWN
    return f"{said.grams_alone(before)} → {said.grams_alone(after)} ({said.signed_grams(after - before)})"


def changes_text(changes: Sequence[ChangeView]) -> Iterator[str]:
    """Changes in turn; the same module step in other places is said once, with what it weighs in all of them."""
    steps: dict[tuple[str | None, str | None], list[ChangeView]] = {}
    for change in changes:
        if change.kind == "module moved on":
            steps.setdefault((change.from_, change.to), []).append(change)
    for change in changes:
        same = (
            steps.get((change.from_, change.to), [change]) if change.kind == "module moved on" else [change]
        )
        if change is same[0]:
            yield change_text(change, same[1:])


def change_text(change: ChangeView, elsewhere: Sequence[ChangeView] = ()) -> str:
    """One change with its effects, reasons and evidence; `elsewhere` are the same step in other places."""
    lines = [wrapped(f"{safe(change.text)}  [{change.kind}]", "    ", "")]
    if elsewhere:
        lines.append(wrapped("and so " + ", ".join(other.where for other in elsewhere), "      ", "    "))
    effects = []
    if change.effect.mass_g is None:
        effects.append("mass not known")
    elif change.effect.mass_g:
        each = " each" if elsewhere else ""
        effects.append(f"mass {said.signed_grams(change.effect.mass_g)}{each}")
    effects += [f"{name} {said.signed_millimetres(gap)}" for name, gap in change.effect.gaps_mm.items()]
    if effects:
        lines.append(wrapped("; ".join(effects), "      ", "    "))
    if change.factors_g and len(change.factors_g) > 1:
        factors = ", ".join(f"{name} {said.signed_grams(share)}" for name, share in change.factors_g.items())
        lines.append(wrapped(f"of which {factors}", "      ", "    "))
    lines += [wrapped(way, "      ", "    ") for way in _ways(change)]
    lines += [wrapped(f"why: {safe(note.why)}", "      ", "    ") for note in change.notes if note.why]
    for name, delivered in change.delivered.items():
        kept = {True: "kept", False: "missed", None: "cannot tell yet"}[delivered.kept]
        lines.append(wrapped(f"expected {name} {delivered.expected}: {kept}", "      ", "    "))
    lines += [wrapped(evidence.text, "      ", "    ") for evidence in change.evidence]
    return "\n".join(lines)


def _ways(change: ChangeView) -> Iterator[str]:
    """The ways in that a change touches, the one that changed most first; at most three."""
    ways = sorted(change.effect.access.items(), key=lambda item: -abs(_gain(item[1].seconds)))
    for ref, way in ways[:3]:
        screws = f"{_or_none(way.screws[0])} → {_or_none(way.screws[1])} screws"
        yield f"way in to {ref}: {screws}, {said.duration(way.seconds[0])} → {said.duration(way.seconds[1])}"
    if len(ways) > 3:
        yield f"and {len(ways) - 3} more ways in"


def _gain(seconds: tuple[float | None, float | None]) -> float:
    before, after = seconds
    return 0.0 if before is None or after is None else after - before


def _or_none(count: int | None) -> str:
    return "no way" if count is None else str(count)
