"""Chains and removal ladders of two states beside each other, as before and after."""

from collections.abc import Sequence

from lineage.reports.charts.fit_ladder import fit_ladder, gap_against_need
from lineage.reports.charts.pictures import Picture
from lineage.reports.pages.card_service import ladder
from lineage.reports.pages.changes import gain
from lineage.reports.pages.records import Fold, Ladder, Section, fold, pictures
from lineage.reports.views.card import AccessView, Card, FitView
from lineage.reports.views.compare import PairView


def before_and_after(pair: PairView, cards: Sequence[Card], name: str) -> Section:
    """Every chain and every way in that is another one after than before; what changed most first."""
    by_name = {f"{card.design}@{card.build}": card for card in cards}
    before, after = by_name.get(pair.before), by_name.get(pair.after)
    title = "Chains and ladders, before and after"
    if before is None or after is None:
        return Section(title=title, name=name)
    drawn = _chains(pair, before, after, name)
    first, others = drawn[:1], drawn[1:]
    return Section(
        title=title,
        name=name,
        pictures=tuple(p for _, found in first for p in found),
        folds=tuple(f for fit, found in others for f in _folded(fit, found)),
        ladders=_ladders(pair, before, after),
        ladders_in_pairs=True,
        method="fits" if drawn else "ways-in",
    )


def _folded(fit: str, drawn: tuple[Picture, ...]) -> tuple[Fold, ...]:
    return fold(f"Chain of {fit}, before and after", drawn=drawn)


def _chains(pair: PairView, before: Card, after: Card, name: str) -> list[tuple[str, tuple[Picture, ...]]]:
    """Pictures of the fits of both states that differ; before and after to one scale."""
    both = [fit for fit in after.fits if fit in before.fits and _is_other(before.fits[fit], after.fits[fit])]

    def moved(fit: str) -> float:
        return -abs(_nominal(after.fits[fit]) - _nominal(before.fits[fit]))

    made = []
    for number, fit in enumerate(sorted(both, key=moved), 1):
        old, new = before.fits[fit], after.fits[fit]
        mark = f"{name}-{number}"
        said_before, said_after = f"{fit}, {pair.before}", f"{fit}, {pair.after}"
        found = pictures(
            fit_ladder(said_before, old, f"{mark}-before", beside=new),
            fit_ladder(said_after, new, f"{mark}-after", beside=old),
            gap_against_need(said_before, old, f"{mark}-before", beside=new),
            gap_against_need(said_after, new, f"{mark}-after", beside=old),
        )
        if found:
            made.append((fit, found))
    return made


def _is_other(one: FitView, two: FitView) -> bool:
    return (one.contributors, one.need_mm, one.nominal_mm) != (two.contributors, two.need_mm, two.nominal_mm)


def _nominal(fit: FitView) -> float:
    return fit.nominal_mm or 0.0


def _ladders(pair: PairView, before: Card, after: Card) -> tuple[Ladder, ...]:
    """Ways in to a design's own things that are taken otherwise, the greatest gain or loss first."""
    was_called = {p.after: p.before for p in pair.pairing}
    found: list[tuple[float, Ladder, Ladder]] = []
    for ref, way in after.access.items():
        old = before.access.get(was_called.get(ref, ref))
        if (
            "." in ref
            or old is None
            or old.screws is None
            or way.screws is None
            or not _is_taken_otherwise(old, way)
        ):
            continue
        seconds = (old.seconds.value if old.seconds else None, way.seconds.value if way.seconds else None)
        sides = (
            ladder(was_called.get(ref, ref), old, side=pair.before),
            ladder(ref, way, side=pair.after),
        )
        found.append((-abs(gain(seconds)), *sides))
    ordered = sorted(found, key=lambda entry: entry[0])
    return tuple(side for _, old_side, new_side in ordered for side in (old_side, new_side))


def _is_taken_otherwise(one: AccessView, two: AccessView) -> bool:
    return (one.steps, one.screws) != (two.steps, two.screws)
