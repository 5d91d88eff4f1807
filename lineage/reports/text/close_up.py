"""One thing of a card seen near: a way in step by step, a chain term by term."""

from collections.abc import Iterable

from lineage.problems import AskedWrongly, nearest
from lineage.reports.text.card_fit import chain_text
from lineage.reports.text.card_service import ladder_text
from lineage.reports.views.card import Card


def close_up_text(card: Card, *, way: str | None = None, fit: str | None = None) -> str:
    """The way in to a thing, the chain of a fit, or both. Raises AskedWrongly for what the card has not."""
    texts = []
    if way is not None:
        _check(way, card.access, f"{card.design}@{card.build} has nothing called {way!r} to take off")
        texts.append(ladder_text(card, way))
    if fit is not None:
        _check(fit, card.fits, f"{card.design}@{card.build} has no fit {fit!r}")
        texts.append(chain_text(card, fit))
    return "\n".join(texts)


def _check(asked: str, known: Iterable[str], what: str) -> None:
    names = list(known)
    if asked not in names:
        near = nearest(asked, names)
        if near is not None:
            raise AskedWrongly(what, "a name that it has", f"did you mean {near}?")
        raise AskedWrongly(what, f"one of: {', '.join(names)}" if names else "a design that has one")
