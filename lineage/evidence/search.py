"""Roots and least numbers of things that only ever grow."""

from collections.abc import Callable
from math import inf


def least(holds: Callable[[int], bool], most: int) -> int | None:
    """The least whole number from 0 to `most` for which something holds that, once true, stays true."""
    if holds(0):
        return 0
    fails, reach = 0, 1
    while reach < most and not holds(reach):
        fails, reach = reach, reach * 2
    reach = min(reach, most)
    if not holds(reach):
        return None
    while reach - fails > 1:
        middle = (fails + reach) // 2
        fails, reach = (fails, middle) if holds(middle) else (middle, reach)
    return reach


def root(function: Callable[[float], tuple[float, float]], start: float) -> float:
    """Where a growing function is 0; it gives its value and its slope.

    Newton's steps, none longer than ten; one that would leave the span known to hold the root halves it instead.
    """
    point, low, high = start, -inf, inf
    for _ in range(200):
        value, slope = function(point)
        low, high = (low, point) if value > 0 else (point, high)
        step = max(-10.0, min(-value / slope, 10.0))
        near = abs(step) < 1e-9 * (1 + abs(point))  # the step after it would be of the order of its square
        if not near and not low < point + step < high:
            step = (low + high) / 2 - point
        point += step
        if near:
            break
    return point
