"""Each change's share of a change in a gap, term by term, adding up exactly."""

from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct

from lineage.changes.diff import things_of
from lineage.changes.ops import Change, Kind

# the kinds that can be behind another nominal of a term, the likeliest first
_BY_DIM: Mapping[str, tuple[Kind, ...]] = {
    "thickness": ("thickness", "mass", "part swapped", "material"),
    "length": ("length", "mass", "part swapped"),
}
_OF_PLACE: tuple[Kind, ...] = ("module moved on", "module swapped", "option")


class Term(Struct, frozen=True):
    """One term of a chain as worked out: `ref.dim` (or a plain quantity), coefficient, nominal in mm."""

    ref: str
    coefficient: float
    nominal_mm: float


def gap_shares(
    name: str,
    before: Sequence[Term],
    after: Sequence[Term],
    changes: Sequence[Change],
    renames: Mapping[str, str],
) -> dict[str, float]:
    """Change id → its share in mm of the change of one fit's nominal gap.

    For a term in both chains with coefficient c and nominal n:
    Δ(c·n) = (n₁ − n₀)·(c₀ + c₁)/2 + (c₁ − c₀)·(n₀ + n₁)/2, the first at the thing, the second at the fit
    itself; a term in one chain only is the fit's own where its chain was edited, else of the change that brought
    or took the term's thing. The sum is the whole change. `renames` gives things of the first state their names
    in the second.

    Source: Shapley, L. S., A value for n-person games, 1953 (two factors of a product).
    """
    shares: dict[str, float] = {}
    old, new = _by_ref(before, renames), _by_ref(after, {})
    of_fit = next((c.id for c in changes if c.kind == "fit" and c.where == name), None)
    for ref in dict.fromkeys([*old, *new]):
        c0, n0 = old.get(ref, (0.0, new.get(ref, (0.0, 0.0))[1]))
        c1, n1 = new.get(ref, (0.0, n0))
        owner = _owner(ref, changes) or of_fit
        _add(shares, owner, (n1 - n0) * (c0 + c1) / 2)
        _add(shares, of_fit or owner, (c1 - c0) * (n0 + n1) / 2)
    return shares


def _by_ref(terms: Iterable[Term], renames: Mapping[str, str]) -> dict[str, tuple[float, float]]:
    found: dict[str, tuple[float, float]] = {}
    for term in terms:
        head, dot, rest = term.ref.partition(".")
        ref = renames.get(head, head) + dot + rest
        coefficient = found.get(ref, (0.0, 0.0))[0] + term.coefficient
        found[ref] = (coefficient, term.nominal_mm)
    return found


def _add(shares: dict[str, float], change: str | None, share: float) -> None:
    if share and change is not None:
        shares[change] = shares.get(change, 0.0) + share


def _owner(ref: str, changes: Sequence[Change]) -> str | None:
    """The id of the change that moved this term's nominal, or brought its thing; None where none did."""
    thing, _, dim = ref.rpartition(".")
    own = thing.partition(".")[0]
    at_thing = [change for change in changes if own in things_of(change)]
    at_place = "." in thing
    wanted = _OF_PLACE if at_place else (*_BY_DIM.get(dim, ()), "text", "part swapped")
    for kind in wanted:
        for change in at_thing:
            if change.kind == kind:
                return change.id
    if at_thing:
        return at_thing[0].id
    return next((change.id for change in changes if change.kind == "option"), None)
