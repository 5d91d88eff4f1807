"""How much of a screw is in thread, and how many turns that is."""

from lineage.figures.standards.screws import Screw, parse_screw
from lineage.spec.records import FastenerGroup


def screw_of(group: FastenerGroup) -> Screw | None:
    """What the type of a group says of its screw; None where the type is any other text."""
    return parse_screw(group.type)


def engaged_length(group: FastenerGroup, screw: Screw) -> float | None:
    """Length of a screw that is in thread, min(length − grip, depth), at least 0.

    group: gives grip and depth, mm. screw: gives length, mm.
    Result: mm; None where grip or depth is not typed.
    Source: plain geometry.
    """
    if group.grip is None or group.depth is None:
        return None
    return max(0.0, min(screw.length_mm - group.grip.value, group.depth.value))


def turns_out(group: FastenerGroup, screw: Screw) -> float:
    """Turns that bring a screw out: engaged length, else its whole length, ÷ pitch.

    group: gives grip and depth where typed, mm. screw: gives length and pitch, mm.
    Result: turns.
    Source: plain geometry of a single-start thread.
    """
    engaged = engaged_length(group, screw)
    return (screw.length_mm if engaged is None else engaged) / screw.pitch_mm
