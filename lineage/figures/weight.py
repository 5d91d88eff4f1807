"""What a build weighs: item by item, by role, material and module, with what is shared counted as shared."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from typing import Literal

from msgspec import Struct

from lineage.drawings.moments import Measures
from lineage.figures.masses import Basis, basis_of, estimated_mass
from lineage.figures.stocks import NOT_KNOWN
from lineage.spec.assembly import Assembly, Lookup, Spec, Thing, assemble
from lineage.values.uncertain import Uncertain, total

OWN = "own"
"""What stands for a module where a thing is in none."""


class Item(Struct, frozen=True, kw_only=True, gc=False):
    """One line of the weight. `mass` is what counts, `estimate` what it would be had nothing been weighed."""

    ref: str
    kind: Literal["part", "fasteners", "as weighed"]
    count: int
    mass: Uncertain | None
    estimate: Uncertain | None
    basis: Basis
    role: str
    material: str
    module: str


class Weight(Struct, frozen=True, kw_only=True):
    """`predicted` sums what has a mass; `without_mass` names what lacks one outside of weighed modules.

    `places` is the mass of each place as it counts; the three shares add up to predicted.
    """

    items: tuple[Item, ...]
    predicted: Uncertain
    without_mass: tuple[str, ...]
    places: Mapping[str, Uncertain]
    by_role: Mapping[str, float]
    by_material: Mapping[str, float]
    by_module: Mapping[str, float]

    @property
    def is_complete(self) -> bool:
        """Whether everything has a mass."""
        return not self.without_mass

    @property
    def known_items(self) -> tuple[str, ...]:
        """References of what has a mass, fastener groups too."""
        return tuple(i.ref for i in self.items if i.mass is not None and i.kind != "as weighed")

    @property
    def masses(self) -> Mapping[str, Uncertain]:
        """Mass of every item that has one."""
        return {item.ref: item.mass for item in self.items if item.mass is not None}


def weigh(
    assembly: Assembly, measures: Mapping[str, Measures], weighed: Mapping[str, Uncertain] | None = None
) -> Weight:
    """The weight of an assembly.

    predicted = Σ over parts, fastener groups and weighed modules; a weighed thing counts as weighed. A
    weighed module keeps its parts' estimates as items and adds one, `REF as weighed`, weighed − Σ of its
    items.
    assembly: what there is. measures: of drawings, by `measure_key`. weighed: mass in g of all pieces of a
    part, fastener group or place, by reference, where a weighing stands.
    Result: g; things without a mass are left out of the sums and named.
    Source: JCGM 100:2008 (GUM), 5.1.2 (equation 10) and 5.2.2 (equation 13).
    """
    adder = _Adder(assembly, measures, weighed or {})
    predicted = adder.walk("")
    items = tuple(adder.items)
    return Weight(
        items=items,
        predicted=predicted,
        without_mass=tuple(adder.without_mass),
        places=adder.places,
        by_role=_shares((i.role, i.mass) for i in items),
        by_material=_shares((i.material, i.mass) for i in items),
        by_module=_shares((i.module, i.mass) for i in items),
    )


def _shares(named: Iterable[tuple[str, Uncertain | None]]) -> dict[str, float]:
    shares: dict[str, float] = defaultdict(float)
    for name, mass in named:
        if mass is not None:
            shares[name] += mass.value
    return dict(shares)


class _Adder:
    """Walks an assembly from the outside in and adds up from the inside out."""

    def __init__(
        self, assembly: Assembly, measures: Mapping[str, Measures], weighed: Mapping[str, Uncertain]
    ) -> None:
        self.measures = measures
        self.weighed = weighed
        self.inside: dict[str, list[Thing]] = defaultdict(list)
        for thing in assembly.things.values():
            self.inside[thing.place].append(thing)
        self.items: list[Item] = []
        self.without_mass: list[str] = []
        self.places: dict[str, Uncertain] = {}

    def walk(self, place: str) -> Uncertain:
        """The mass of what is in a place, its items laid down on the way."""
        masses = (self._place(t) if t.kind == "place" else self._item(t) for t in self.inside[place])
        return total([mass for mass in masses if mass is not None])

    def _item(self, thing: Thing) -> Uncertain | None:
        estimate = estimated_mass(thing, self.measures)
        weighed = self.weighed.get(thing.ref)
        mass = estimate if weighed is None else weighed
        if mass is None:
            self.without_mass.append(thing.ref)
        self.items.append(
            Item(
                ref=thing.ref,
                kind="fasteners" if thing.kind == "fasteners" else "part",
                count=thing.group.count if thing.kind == "fasteners" else thing.part.count,
                mass=mass,
                estimate=estimate,
                basis=basis_of(thing) if weighed is None else "weighed",
                role=thing.role,
                material=material_of(thing),
                module=_module_of(thing.ref),
            )
        )
        return mass

    def _place(self, thing: Thing) -> Uncertain:
        lacked_before = len(self.without_mass)
        inside = self.walk(thing.ref)
        weighed = self.weighed.get(thing.ref)
        if weighed is not None:
            del self.without_mass[lacked_before:]
            self.items.append(_as_weighed(thing, weighed.minus(inside)))
            inside = weighed
        self.places[thing.ref] = inside
        return inside


def _as_weighed(thing: Thing, difference: Uncertain) -> Item:
    return Item(
        ref=f"{thing.ref} as weighed",
        kind="as weighed",
        count=1,
        mass=difference,
        estimate=None,
        basis="weighed",
        role=thing.role,
        material=NOT_KNOWN,
        module=_module_of(f"{thing.ref}."),
    )


def _module_of(ref: str) -> str:
    first, dot, _ = ref.partition(".")
    return first if dot else OWN


def material_of(thing: Thing) -> str:
    """Material of a part or fastener group: its stock's, else its own, else not known; table screws are
    steel.
    """
    if thing.kind == "fasteners":
        group = thing.group
        return group.material or ("steel" if group.mass is None else NOT_KNOWN)
    if thing.stock is not None:
        return thing.stock.stock.material
    return thing.part.material or NOT_KNOWN


Weigher = Callable[[Assembly], Weight]


def choice_masses(spec: Spec, lookup: Lookup, weigher: Weigher) -> dict[str, dict[str, float | None]]:
    """What each choice of each option of a design weighs.

    spec: the design. lookup: gives the modules that it uses. weigher: weighs one assembly of it.
    Result: g by option and choice; None where something in a choice lacks a mass.
    Source: sums over what a choice holds; no other rule.
    """
    return {
        option: {
            choice: _choice_mass(assemble(spec, lookup, {option: choice}), (option, choice), weigher)
            for choice in choices
        }
        for option, choices in spec.design.options.items()
    }


def _choice_mass(assembly: Assembly, choice: tuple[str, str], weigher: Weigher) -> float | None:
    weight = weigher(assembly)
    own = [t for t in assembly.things.values() if t.place == "" and t.choice == choice]
    lacking = set(weight.without_mass)
    if any(not lacking.isdisjoint((thing.ref, *assembly.within(thing.ref))) for thing in own):
        return None
    masses, places = weight.masses, weight.places
    return total(places[t.ref] if t.kind == "place" else masses[t.ref] for t in own).value
