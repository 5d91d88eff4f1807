"""Masses of several states role by role beside each other, against the limit of each."""

from collections.abc import Iterator, Sequence

from lineage.reports import said
from lineage.reports.charts.pictures import (
    INNER,
    LEFT,
    Fill,
    Picture,
    Row,
    bar,
    row,
    sentence,
    upright,
)
from lineage.reports.charts.scales import Scale, round_up
from lineage.reports.views.card import Card

MOST_ROLES = 6
OTHERS = "other roles"
FILLS: tuple[Fill, ...] = ("solid", "hatch", "dots", "open")


def roles_beside(cards: Sequence[Card], name: str = "roles") -> Picture | None:
    """A row for each state under each role, on one scale: shares of the limits where all have one, else grams.

    None for one state alone, and where nothing has a mass.
    """
    masses = _masses(cards)
    wholes = [sum(of_state.values()) for of_state in masses]
    if len(cards) < 2 or max(wholes) <= 0:
        return None
    limits = [card.class_.limit_g if card.class_ is not None else None for card in cards]
    known = [limit for limit in limits if limit is not None]
    are_shares = len(known) == len(cards)
    ones = [limit / 100 for limit in known] if are_shares else [1.0] * len(cards)
    most = max(whole / one for whole, one in zip(wholes, ones, strict=True))
    scale = Scale(
        low=0, high=round_up(max(most, 100 if are_shares else 0) * 1.03, 20), left=LEFT, right=INNER
    )
    rows = tuple(_rows(cards, masses, ones, scale, are_shares=are_shares))
    lines = (upright(scale, 100, "limit of each", "limit"),) if are_shares else ()
    return Picture(
        name=name,
        title="Mass by role beside each other" + (", as shares of the limit" if are_shares else ""),
        said=sentence([f"{r.full} {r.figure}" for r in rows]),
        rows=rows,
        uprights=lines,
        ticks=scale.ticks(),
        unit="%" if are_shares else "g",
    )


def _masses(cards: Sequence[Card]) -> list[dict[str, float]]:
    """Role → g of each state, the heaviest roles of all first, the small ones as one."""
    roles = dict.fromkeys(role for card in cards for role in card.weight.by_role_g)
    heaviest = sorted(
        roles, key=lambda role: (-max(card.weight.by_role_g.get(role, 0.0) for card in cards), role)
    )
    named, others = heaviest[:MOST_ROLES], heaviest[MOST_ROLES:]
    found = []
    for card in cards:
        by_role = card.weight.by_role_g
        of_state = {role: by_role[role] for role in named if role in by_role}
        rest = [by_role[role] for role in others if role in by_role]
        found.append({**of_state, **({OTHERS: sum(rest)} if rest else {})})
    return found


def _rows(
    cards: Sequence[Card],
    masses: Sequence[dict[str, float]],
    ones: Sequence[float],
    scale: Scale,
    *,
    are_shares: bool,
) -> Iterator[Row]:
    roles = dict.fromkeys(role for of_state in masses for role in of_state)
    for role in [*(role for role in roles if role != OTHERS), *([OTHERS] if OTHERS in roles else []), None]:
        for at, (card, of_state, one) in enumerate(zip(cards, masses, ones, strict=True)):
            mass = sum(of_state.values()) if role is None else of_state.get(role)
            label = f"{role or 'whole'}: {card.design}@{card.build}"
            if mass is None:
                yield row(label, "none", strong=role is None)
                continue
            share = f", {said.percent(mass / one / 100)}" if are_shares else ""
            drawn = bar(scale, 0, mass / one, FILLS[at % len(FILLS)])
            yield row(label, f"{said.grams_alone(mass)}{share}", drawn, strong=role is None)
