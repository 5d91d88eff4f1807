"""Which modules designs share, in which builds, and who lags."""

from collections.abc import Callable, Sequence

from msgspec import Struct

from lineage.spec.assembly import Assembly


class SharedModule(Struct, frozen=True, kw_only=True):
    """A module that at least two of some designs use; labels and lags by the designs' positions.

    `labels` has each design's newest build of it, None where it has none; `behind` how many builds of the module came
    after that one.
    """

    name: str
    labels: tuple[str | None, ...]
    behind: tuple[int | None, ...]

    @property
    def lags(self) -> tuple[int, ...]:
        """Positions of designs that have an older build than another of them has."""
        known = [behind for behind in self.behind if behind is not None]
        return tuple(
            at for at, behind in enumerate(self.behind) if behind is not None and behind > min(known)
        )


def shared_modules(
    assemblies: Sequence[Assembly], labels_of: Callable[[str], Sequence[str]]
) -> tuple[SharedModule, ...]:
    """Modules in at least two assemblies, at any depth, each once.

    assemblies: the designs. labels_of: labels of a module's builds in order.
    Result: in the order of the first design that has them.
    Source: counting; no rule but that a design lags by the builds after its own.
    """
    used = [_newest(assembly, labels_of) for assembly in assemblies]
    names = dict.fromkeys(name for found in used for name in found)
    return tuple(_shared(name, used, labels_of) for name in names if sum(name in found for found in used) > 1)


def _newest(assembly: Assembly, labels_of: Callable[[str], Sequence[str]]) -> dict[str, str]:
    newest: dict[str, str] = {}
    for place in assembly.places:
        ref = place.use.use
        known = newest.get(ref.design)
        order = list(labels_of(ref.design))
        if known is None or _age(ref.label, order) < _age(known, order):
            newest[ref.design] = ref.label
    return newest


def _age(label: str, order: Sequence[str]) -> int:
    """How many builds came after this one; working files come after all."""
    return len(order) - 1 - order.index(label) if label in order else -1


def _shared(
    name: str, used: Sequence[dict[str, str]], labels_of: Callable[[str], Sequence[str]]
) -> SharedModule:
    order = labels_of(name)
    labels = tuple(found.get(name) for found in used)
    return SharedModule(
        name=name,
        labels=labels,
        behind=tuple(None if label is None else max(0, _age(label, order)) for label in labels),
    )
