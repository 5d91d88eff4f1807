"""Seconds of the elements of taking a robot apart, and what timed services say of them."""

import re
from collections.abc import Sequence
from math import erfc, sqrt

from msgspec import Struct

from lineage.figures.engagement import screw_of, turns_out
from lineage.spec.assembly import Thing
from lineage.spec.records import FastenerGroup, Part, Times
from lineage.values.uncertain import Uncertain, from_source

SPREAD_OF_FEW = 0.30
LEAST_SPREAD = 0.15
FEW = 3
_PLUGGED = re.compile(r"\bplug", re.IGNORECASE)
_CLIPPED = re.compile(r"\bclip", re.IGNORECASE)


class Elements(Struct, frozen=True, kw_only=True):
    """Seconds of each element, once; the defaults are this project's own, no source."""

    tool: float = 4.0
    screw: float = 3.0
    turn: float = 0.6
    part: float = 3.0
    plug: float = 3.0
    clip: float = 4.0


class Timing(Struct, frozen=True, kw_only=True):
    """What timed services say: a factor on every worked-out time, its relative spread, and how many there were."""

    factor: float = 1.0
    spread: float = SPREAD_OF_FEW
    timed: int = 0


def elements_from(times: Times) -> Elements:
    """The defaults with the family's own times over them."""
    own = {name: getattr(times, name) for name in Elements.__struct_fields__}
    return Elements(**{name: seconds for name, seconds in own.items() if seconds is not None})


def timing_from(ratios: Sequence[float]) -> Timing:
    """Factor and spread of a family's timed services.

    factor = median of r; spread = 1.4826 · median of |r ÷ factor − 1|, at least 15 %; 30 % below three services.
    ratios: timed ÷ worked out (with factor 1) of each timed service, above 0.
    Result: the factor is 1 without any.
    Source: 1.4826 makes the median absolute deviation a standard deviation of normal scatter: P. J. Rousseeuw,
    C. Croux, Alternatives to the median absolute deviation, 1993, equation 1.2 (from memory). The floor and the
    30 % are this project's own, no source.
    """
    if not ratios:
        return Timing()
    factor = _median(ratios)
    if len(ratios) < FEW:
        return Timing(factor=factor, timed=len(ratios))
    scatter = 1.4826 * _median([abs(ratio / factor - 1) for ratio in ratios])
    return Timing(factor=factor, spread=max(LEAST_SPREAD, scatter), timed=len(ratios))


def _median(numbers: Sequence[float]) -> float:
    """The middle one, or the mean of the two in the middle."""
    ordered = sorted(numbers)
    half = len(ordered) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2


def off_and_on(seconds_once: float, ref: str, timing: Timing) -> Uncertain:
    """Seconds to take a thing off and put it back: 2 · factor · seconds once, u its spread.

    seconds_once: all elements added up, s. ref: whose time it is; times of one ref share their error.
    Result: s.
    Source: this project's own rule.
    """
    seconds = 2 * timing.factor * seconds_once
    return from_source(seconds, ("service time", ref), timing.spread * seconds)


def seconds_of_group(group: FastenerGroup, elements: Elements) -> float | None:
    """Seconds to undo a group once: count · (screw + turns · turn); the tool is counted apart.

    group: gives count, type, grip and depth. elements: s.
    Result: s; None where the type says no pitch.
    Source: this project's own rule.
    """
    screw = screw_of(group)
    if screw is None:
        return None
    return group.count * (elements.screw + turns_out(group, screw) * elements.turn)


def seconds_of_thing(thing: Thing, elements: Elements) -> float:
    """Seconds to take a part or place off once, however many pieces: by how it is `joined`, else those of a part."""
    joined = (thing.what.joined or "") if isinstance(thing.what, Part) else ""
    if _PLUGGED.search(joined):
        return elements.plug
    return elements.clip if _CLIPPED.search(joined) else elements.part


def chance_within(seconds: Uncertain, limit_s: float) -> float:
    """Chance that a job takes at most a time, Φ((limit − value) ÷ u).

    seconds: the worked-out time with its u, s. limit_s: the time there is, s.
    Result: 0 to 1; without spread 0 or 1.
    Source: normal distribution.
    """
    if not seconds.u:
        return float(seconds.value <= limit_s)
    return erfc((seconds.value - limit_s) / (seconds.u * sqrt(2))) / 2
