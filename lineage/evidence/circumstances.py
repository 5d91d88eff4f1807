"""What else was different between the bouts before a change and those after it: events, choices, opponents."""

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction

from msgspec import Struct

from lineage.evidence.bouts import RobotBout, same_mode

MUCH = Fraction(1, 4)  # of the bouts of a side: a smaller difference of choices or opponents is not said


class Circumstances(Struct, frozen=True, kw_only=True):
    """What differed in one robot beside the change: no event with bouts on both sides; choices and kinds of opponent
    whose share of the bouts is another one by a quarter or more, as `fork long 5 of 5 → 1 of 4`."""

    other_events: bool = False
    choices: tuple[str, ...] = ()
    opponents: tuple[str, ...] = ()


def circumstances(
    before: Sequence[RobotBout], after: Sequence[RobotBout], option: str | None = None
) -> Circumstances:
    """What differed between the two sides; nothing where one has no bouts.

    `option` is the one that the change itself is of. Bouts that do not say the kind of opponent are left out of
    those counts.
    """
    if not before or not after:
        return Circumstances()
    return Circumstances(
        other_events={bout.event for bout in before}.isdisjoint(bout.event for bout in after),
        choices=tuple(_choices(before, after, option)),
        opponents=tuple(
            _differing(*([same_mode(b.against) for b in side if b.against] for side in (before, after)))
        ),
    )


def said_of(found: Sequence[tuple[str, Circumstances]]) -> tuple[str, ...]:
    """Sentences on what differed, of each robot by name where there are several."""
    return tuple(_sentences(found))


def _sentences(found: Sequence[tuple[str, Circumstances]]) -> Iterator[str]:
    several = len(found) > 1
    apart = [robot for robot, differing in found if differing.other_events]
    if apart:
        whose = f" in {', '.join(apart)}" if len(apart) < len(found) else ""
        yield f"No event is on both sides{whose}: what else differs between events is in it too."
    for robot, differing in found:
        whose = f" in {robot}" if several else ""
        if differing.choices:
            yield f"Other choices{whose}, counted in bouts: {', '.join(differing.choices)}."
        if differing.opponents:
            yield f"Other opponents{whose}, counted in bouts: {', '.join(differing.opponents)}."


def _choices(before: Sequence[RobotBout], after: Sequence[RobotBout], own: str | None) -> Iterator[str]:
    for option in dict.fromkeys(option for bout in (*before, *after) for option in bout.choices):
        if option != own:
            sides = ([b.choices[option] for b in side if option in b.choices] for side in (before, after))
            yield from (f"{option} {share}" for share in _differing(*sides))


def _differing(then: Sequence[str], now: Sequence[str]) -> Iterator[str]:
    """What takes another share of a side by a quarter or more; of two that make up all the first alone."""
    if not then or not now:
        return
    old, new = Counter(then), Counter(now)
    every = list(dict.fromkeys([*then, *now]))
    found = [
        each for each in every if abs(Fraction(old[each], len(then)) - Fraction(new[each], len(now))) >= MUCH
    ]
    for each in found[:1] if len(every) == 2 else found:
        yield f"{each} {old[each]} of {len(then)} → {new[each]} of {len(now)}"
