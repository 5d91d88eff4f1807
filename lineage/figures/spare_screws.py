"""Screws that could go by the builder's own rules, and what that saves."""

from collections.abc import Mapping

from msgspec import Struct

from lineage.figures.engagement import screw_of, turns_out
from lineage.figures.service_times import Elements, Timing, elements_from
from lineage.spec.assembly import Assembly, Thing
from lineage.spec.records import FastenerGroup, Rules, Times

_NEVER = frozenset({"weapon", "armour"})


class SpareScrews(Struct, frozen=True, kw_only=True):
    """How many screws of a group are above the family's rule; what they weigh and take, off and back on.

    `grams` is None where a screw's mass is not known, `seconds` where its pitch is not.
    """

    ref: str
    role: str
    count: int
    enough: int
    could_go: int
    grams: float | None
    seconds: float | None


def spare_screws(
    assembly: Assembly, rules: Rules, group_grams: Mapping[str, float], times: Times, timing: Timing
) -> tuple[SpareScrews, ...]:
    """Groups with more screws than the family's rule says for the role of what they hold.

    could go = count − rule; seconds = 2 · factor · could go · (screw + turns · turn). Where the group holds things of
    several roles, each has to have a rule and the greatest counts. Never of a group at a weapon, armour, a battery
    or stored energy, nor at a place with such a thing in it, whichever side the heads are on.
    rules: the family's own of today. group_grams: mass of a whole group by reference, g. times, timing: as for ways
    in.
    Result: in the order of the spec, nothing without rules; it is the builder's rule, no proof of strength.
    Source: none; the rule is the builder's.
    """
    elements = elements_from(times)
    found = []
    for thing in assembly.groups:
        rule = _rule(thing, assembly, rules)
        if rule is None or thing.group.count <= rule[0] or _touches_what_must_hold(thing, assembly):
            continue
        once = _seconds_each(thing.group, elements)
        each = None if once is None else 2 * timing.factor * once
        found.append(_spare(thing, rule, group_grams.get(thing.ref), each))
    return tuple(found)


def _spare(
    thing: Thing, rule: tuple[int, str], grams: float | None, seconds_each: float | None
) -> SpareScrews:
    count = thing.group.count
    enough, role = rule
    could_go = count - enough
    return SpareScrews(
        ref=thing.ref,
        role=role,
        count=count,
        enough=enough,
        could_go=could_go,
        grams=None if grams is None else grams / count * could_go,
        seconds=None if seconds_each is None else seconds_each * could_go,
    )


def _seconds_each(group: FastenerGroup, elements: Elements) -> float | None:
    """Seconds to bring one screw out, None where its pitch is not known."""
    screw = screw_of(group)
    return None if screw is None else elements.screw + turns_out(group, screw) * elements.turn


def _rule(thing: Thing, assembly: Assembly, rules: Rules) -> tuple[int, str] | None:
    """The greatest rule over the roles of what a group holds, and that role; None where one has none."""
    roles = {assembly.things[ref].role for ref in thing.holds}
    if not roles or any(role not in rules.screws for role in roles):
        return None
    return max((rules.screws[role], role) for role in roles)


def _touches_what_must_hold(thing: Thing, assembly: Assembly) -> bool:
    return any(
        _must_hold(assembly.things[inner])
        for ref in (*thing.holds, *thing.into)
        for inner in (ref, *assembly.within(ref))
    )


def _must_hold(thing: Thing) -> bool:
    """A weapon, armour, a battery, or something that stores energy or spins."""
    if thing.kind == "fasteners":
        return False
    if thing.role in _NEVER:
        return True
    if thing.kind == "place":
        return False
    part = thing.part
    return (
        part.cells is not None
        or part.stores is not None
        or part.spin is not None
        or "battery" in f"{thing.name} {part.item or ''}".lower()
    )
