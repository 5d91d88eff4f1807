"""Screws with hexagon socket, nuts and washers: what a type says, and what one piece weighs.

Lengths in mm, masses in g of steel at 7850 kg/m3. A chart's mass has the spread of any listed mass; one
worked out from the shape has `SHAPE_SHARE`, since thread, chamfers and fillets are left out.
"""

import re
from bisect import bisect_left
from collections.abc import Mapping
from functools import cache
from math import pi, sqrt
from typing import Literal

from msgspec import Struct

from lineage.figures.standards.materials import GRAMS_PER_MM3, Tag

Head = Literal["cap", "button", "countersunk"]

STEEL = 7850.0
"""kg/m3 to which the masses of this module belong."""
SHAPE_SHARE = 0.10
"""Spread (k = 2) of a mass worked out from the shape; compared with the chart of ISO 4762 it is 0 to 10 %
heavy for
M3 and M4, more for short M2 and M5."""


class Screw(Struct, frozen=True, kw_only=True):
    """What a type says. `type` is the one way of writing it; `tool` drives it, None where no table has it."""

    type: str
    standard: str
    thread: str
    head: Head
    diameter_mm: float
    pitch_mm: float
    length_mm: float
    tool: str | None
    head_diameter_mm: float | None
    head_height_mm: float | None


class TableMass(Struct, frozen=True, kw_only=True):
    """Mass of one piece in steel. `share` is the spread (k = 2) that its source gives, None: as any listed
    mass.
    """

    grams: float
    share: float | None
    source: str
    tag: Tag | Literal["worked out from the shape"]


class _Thread(Struct, frozen=True):
    diameter: float
    pitch: float


class _Socket(Struct, frozen=True):
    """Head diameter dk and height k, across flats s and depth t of the socket (mm), what the key is
    called.
    """

    dk: float
    k: float
    s: float
    t: float
    key: str


# Coarse threads. Metric: ISO 261 sizes as in FastenersWB iso4762def.csv; inch: asmeb18.3.1adef.csv,
# torquetoolbox. Seen in copies; #2-56 and the fine threads from memory.
_THREADS: Mapping[str, _Thread] = {
    "M2": _Thread(2.0, 0.4),
    "M2.5": _Thread(2.5, 0.45),
    "M3": _Thread(3.0, 0.5),
    "M4": _Thread(4.0, 0.7),
    "M5": _Thread(5.0, 0.8),
    "M6": _Thread(6.0, 1.0),
    "M8": _Thread(8.0, 1.25),
    "2-56": _Thread(2.1844, 25.4 / 56),
    "4-40": _Thread(2.8448, 25.4 / 40),
    "6-32": _Thread(3.5052, 25.4 / 32),
    "8-32": _Thread(4.1656, 25.4 / 32),
    "10-24": _Thread(4.826, 25.4 / 24),
    "10-32": _Thread(4.826, 25.4 / 32),
    "1/4-20": _Thread(6.35, 25.4 / 20),
    "1/4-28": _Thread(6.35, 25.4 / 28),
}

# ISO 4762: FastenersWB iso4762def.csv and engineeringhardware.com agree (seen in copies).
# ISO 7380-1: FastenersWB csv, scribd.com 270233937; M6 scribd.com 695324524 (seen in copies).
# ISO 10642: FastenersWB csv, ru.scribd.com 342214778 (seen in copies); dk is the actual head, 2·d. M2 and M2.5
# are from memory (that csv has dk 3.9 and 4.9, t 0.8 and 1.08; the standard's table of sizes seen begins at M3).
_METRIC: Mapping[Head, Mapping[str, _Socket]] = {
    "cap": {
        "M2": _Socket(3.8, 2.0, 1.5, 1.0, "1.5 mm"),
        "M2.5": _Socket(4.5, 2.5, 2.0, 1.1, "2 mm"),
        "M3": _Socket(5.5, 3.0, 2.5, 1.3, "2.5 mm"),
        "M4": _Socket(7.0, 4.0, 3.0, 2.0, "3 mm"),
        "M5": _Socket(8.5, 5.0, 4.0, 2.5, "4 mm"),
        "M6": _Socket(10.0, 6.0, 5.0, 3.0, "5 mm"),
        "M8": _Socket(13.0, 8.0, 6.0, 4.0, "6 mm"),
    },
    "button": {
        "M3": _Socket(5.7, 1.65, 2.0, 1.04, "2 mm"),
        "M4": _Socket(7.6, 2.2, 2.5, 1.3, "2.5 mm"),
        "M5": _Socket(9.5, 2.75, 3.0, 1.56, "3 mm"),
        "M6": _Socket(10.5, 3.3, 4.0, 2.08, "4 mm"),
        "M8": _Socket(14.0, 4.4, 5.0, 2.6, "5 mm"),
    },
    "countersunk": {
        "M2": _Socket(4.0, 1.24, 1.3, 0.6, "1.3 mm"),
        "M2.5": _Socket(5.0, 1.55, 1.5, 0.7, "1.5 mm"),
        "M3": _Socket(6.0, 1.86, 2.0, 1.1, "2 mm"),
        "M4": _Socket(8.0, 2.48, 2.5, 1.5, "2.5 mm"),
        "M5": _Socket(10.0, 3.1, 3.0, 1.9, "3 mm"),
        "M6": _Socket(12.0, 3.72, 4.0, 2.2, "4 mm"),
        "M8": _Socket(16.0, 4.96, 5.0, 3.0, "5 mm"),
    },
}

# ASME B18.3, inch, by the size before the dash. Caps: FastenersWB asmeb18.3.1adef.csv, torquetoolbox (seen in copies;
# the head height of #2 from memory). Flat heads: asmeb18.3.2def.csv, dk its mean head (seen in a copy). Buttons: dk
# and s as in asmeb18.3.3adef.csv (seen in a copy), k and t from memory: that csv works them out by a rule.
_INCH: Mapping[Head, Mapping[str, _Socket]] = {
    "cap": {
        "2": _Socket(3.5560, 2.1844, 1.9844, 0.9652, "5/64 in"),
        "4": _Socket(4.6482, 2.7940, 2.3876, 1.2954, "3/32 in"),
        "6": _Socket(5.7404, 3.4544, 2.7686, 1.6256, "7/64 in"),
        "8": _Socket(6.8580, 4.1021, 3.5814, 1.9558, "9/64 in"),
        "10": _Socket(7.9248, 4.7625, 3.9624, 2.2860, "5/32 in"),
        "1/4": _Socket(9.5250, 6.2738, 4.7752, 3.0480, "3/16 in"),
    },
    "button": {
        "2": _Socket(4.1656, 1.1684, 1.2700, 0.7112, "0.050 in"),
        "4": _Socket(5.4102, 1.4986, 1.5875, 0.8890, "1/16 in"),
        "6": _Socket(6.6548, 1.8542, 1.9844, 1.1176, "5/64 in"),
        "8": _Socket(7.9248, 2.2098, 2.3812, 1.3208, "3/32 in"),
        "10": _Socket(9.1694, 2.5654, 3.1750, 1.7780, "1/8 in"),
        "1/4": _Socket(11.0998, 3.3528, 3.9688, 2.2098, "5/32 in"),
    },
    "countersunk": {
        "2": _Socket(4.6355, 1.6256, 1.2700, 0.9652, "0.050 in"),
        "4": _Socket(6.0071, 2.1082, 1.5875, 1.3970, "1/16 in"),
        "6": _Socket(7.2390, 2.4638, 1.9844, 1.6764, "5/64 in"),
        "8": _Socket(8.5090, 2.8448, 2.3812, 1.9304, "3/32 in"),
        "10": _Socket(9.7790, 3.2258, 3.1750, 2.2098, "1/8 in"),
        "1/4": _Socket(12.8397, 4.0894, 3.9688, 2.8194, "5/32 in"),
    },
}

# DIN 912 / ISO 4762 in steel, g each (kg per 1000): weight chart of fullerkr.com, seen in a copy and used as
# printed (M2x12 does not follow its neighbours and may be a misprint).
_CHART_SOURCE = "DIN 912 / ISO 4762 weight chart, fullerkr.com"
_CHART: Mapping[str, Mapping[float, float]] = {
    "M2": {3: 0.155, 4: 0.175, 5: 0.195, 6: 0.215, 8: 0.255, 10: 0.295, 12: 0.355, 16: 0.415, 20: 0.495},
    "M2.5": {4: 0.345, 5: 0.375, 6: 0.405, 8: 0.465, 10: 0.525, 12: 0.585, 16: 0.705, 20: 0.825, 25: 0.975},
    "M3": {5: 0.7, 6: 0.7, 8: 0.8, 10: 0.9, 12: 1.0, 16: 1.2, 20: 1.4, 25: 1.6, 30: 1.9},
    "M4": {6: 1.5, 8: 1.7, 10: 1.8, 12: 2.0, 16: 2.3, 20: 2.7, 25: 3.2, 30: 3.7, 35: 4.2, 40: 4.7},
    "M5": {
        8: 2.5, 10: 2.7, 12: 3.0, 16: 3.5, 20: 4.0, 25: 4.8, 30: 5.6, 35: 6.3, 40: 7.1, 45: 7.9, 50: 8.6,
    },
    "M6": {
        10: 4.7, 12: 5.1, 16: 5.8, 20: 6.5, 25: 7.6, 30: 8.3, 35: 9.9, 40: 11.0, 45: 12.1, 50: 13.2, 55: 14.3,
        60: 15.4},
    "M8": {
        12: 10.9, 16: 12.1, 20: 13.4, 25: 15.0, 30: 16.9, 35: 18.9, 40: 20.9, 45: 22.9, 50: 24.9, 55: 26.9,
        60: 28.9, 65: 31.0, 70: 33.0, 80: 37.0,
    },
}  # fmt: skip

# Across flats s and height m of nuts: FastenersWB iso4032def.csv (seen in a copy).
_NUTS: Mapping[str, tuple[float, float]] = {
    "M2": (4.0, 1.6),
    "M2.5": (5.0, 2.0),
    "M3": (5.5, 2.4),
    "M4": (7.0, 3.2),
    "M5": (8.0, 4.7),
    "M6": (10.0, 5.2),
    "M8": (13.0, 6.8),
}
# DIN 985 lock nuts with a nylon ring, g each: fasten.it (seen in a copy; one column there gives M3 as 1.0 at
# most).
_LOCK_NUTS: Mapping[str, float] = {"M3": 0.5, "M4": 1.0, "M5": 1.4, "M6": 2.4, "M8": 5.1}
# Hole d1, outside d2 and thickness h of plain washers: FastenersWB csv (seen in a copy).
_WASHERS: Mapping[str, tuple[float, float, float]] = {
    "M2": (2.2, 5.0, 0.3),
    "M2.5": (2.7, 6.0, 0.5),
    "M3": (3.2, 7.0, 0.5),
    "M4": (4.3, 9.0, 0.8),
    "M5": (5.3, 10.0, 1.0),
    "M6": (6.4, 12.0, 1.6),
    "M8": (8.4, 16.0, 1.6),
}

_STANDARD_HEADS: Mapping[str, Head] = {
    "ISO 4762": "cap",
    "DIN 912": "cap",
    "ISO 7380-1": "button",
    "ISO 7380": "button",
    "ISO 10642": "countersunk",
    "DIN 7991": "countersunk",
}
_STANDARD_OF: Mapping[Head, str] = {"cap": "ISO 4762", "button": "ISO 7380-1", "countersunk": "ISO 10642"}
_HEADS: Mapping[str | None, Head] = {head: head for head in _STANDARD_OF}
_INCH_STANDARD = "ASME B18.3"

# Head heights of DIN 7991, which are less than those of ISO 10642 (fullerfasteners, BOLTS; M6 and M8 a table of
# heads at ux.uis.no; seen in copies).
_DIN_7991_HEIGHTS: Mapping[str, float] = {"M3": 1.7, "M4": 2.3, "M5": 2.8, "M6": 3.3, "M8": 4.4}

_NUMBER = r"[0-9]{1,4}(?:\.[0-9]{1,4})?"
_HEAD = r"(?:\s+(?P<head>cap|button|countersunk))?"
_METRIC_TYPE = re.compile(
    rf"(?:(?P<standard>(?:ISO|DIN)\s+[0-9]+(?:-[0-9]+)?)\s+)?(?P<thread>M{_NUMBER})\s*[x×]\s*(?P<length>{_NUMBER})"
    rf"(?:\s*mm)?{_HEAD}"
)
_INCH_TYPE = re.compile(
    rf"(?:(?P<standard>ASME\s+B18\.3)\s+)?#?(?P<thread>[0-9]{{1,2}}(?:/[0-9])?-[0-9]{{2}})\s*[x×]\s*"
    rf"(?:(?P<whole>{_NUMBER})(?:\s+|(?=\s*in)))?(?:(?P<top>[0-9]{{1,2}})/(?P<bottom>[0-9]{{1,2}}))?\s*in{_HEAD}"
)


@cache
def parse_screw(text: str) -> Screw | None:
    """What a screw's type says; None where it is not one of the standards or workshop words known here."""
    plain = " ".join(text.split())
    metric = _METRIC_TYPE.fullmatch(plain)
    if metric is not None:
        return _metric_screw(metric)
    inch = _INCH_TYPE.fullmatch(plain)
    return _inch_screw(inch) if inch is not None else None


def names_a_screw(text: str) -> bool:
    """Whether a type is written as those of the tables are, with thread and length, whether or not one has it."""
    plain = " ".join(text.split())
    return bool(_METRIC_TYPE.fullmatch(plain) or _INCH_TYPE.fullmatch(plain))


def sizes_of(head: Head) -> tuple[str, ...]:
    """Threads of which the tables have screws with that head."""
    return tuple(name for name in _THREADS if name in _METRIC[head] or name.split("-")[0] in _INCH[head])


def _metric_screw(found: re.Match[str]) -> Screw | None:
    standard, thread = found["standard"], found["thread"]
    word = _HEADS.get(found["head"])
    head = _agreed_head(_STANDARD_HEADS.get(standard), word) if standard else word
    if head is None or thread not in _THREADS:
        return None
    length = float(found["length"])
    socket = _METRIC[head].get(thread)
    name = _STANDARD_OF[head]
    if standard == "DIN 7991" and thread in _DIN_7991_HEIGHTS and socket is not None:
        name, socket = standard, _Socket(socket.dk, _DIN_7991_HEIGHTS[thread], socket.s, socket.t, socket.key)
    return _screw(name, thread, head, length, f"{thread}x{length:g}", socket)


def _inch_screw(found: re.Match[str]) -> Screw | None:
    thread = found["thread"]
    word = _HEADS.get(found["head"])
    head = word if word is not None or not found["standard"] else "cap"
    inches = _inches(found)
    if head is None or thread not in _THREADS or inches is None:
        return None
    length_text = " ".join(part for part in (found["whole"], _fraction_text(found)) if part)
    written = f"{thread} x {length_text} in" + ("" if head == "cap" else f" {head}")
    return _screw(_INCH_STANDARD, thread, head, inches * 25.4, written, _INCH[head].get(thread.split("-")[0]))


def _screw(
    standard: str, thread: str, head: Head, length: float, written: str, socket: _Socket | None
) -> Screw | None:
    if not length > 0:
        return None
    return Screw(
        type=f"{standard} {written}",
        standard=standard,
        thread=thread,
        head=head,
        diameter_mm=_THREADS[thread].diameter,
        pitch_mm=_THREADS[thread].pitch,
        length_mm=length,
        tool=f"{socket.key} hex key" if socket else None,
        head_diameter_mm=socket.dk if socket else None,
        head_height_mm=socket.k if socket else None,
    )


def _agreed_head(of_standard: Head | None, word: Head | None) -> Head | None:
    """A standard's head, unless a word beside it says another one."""
    return of_standard if word is None or word == of_standard else None


def _fraction_text(found: re.Match[str]) -> str | None:
    return f"{found['top']}/{found['bottom']}" if found["top"] else None


def _inches(found: re.Match[str]) -> float | None:
    if found["whole"] is None and found["top"] is None:
        return None
    if found["top"] is not None and int(found["bottom"]) == 0:
        return None
    fraction = int(found["top"]) / int(found["bottom"]) if found["top"] else 0.0
    return float(found["whole"] or 0) + fraction


@cache
def screw_mass(screw: Screw) -> TableMass | None:
    """The mass of one screw in steel, by the chart where it reaches, else from the shape.

    Within the chart of ISO 4762 straight lines between its lengths; else ρ·(head − socket + shank): head a
    cylinder π/4·dk²·k (cap), a spherical cap π·k·(3·(dk/2)² + k²)/6 (button), or a frustum from dk to d of
    height (dk − d)/2 (countersunk, whose length counts the head in); socket √3/2·s²·t; shank π/4·d2² with d2
    = d − 0.6495·P.
    screw: what the type says.
    Result: g each; None where no table has the head.
    Source: DIN 912 / ISO 4762 weight chart (fullerkr.com); the shapes are plain geometry with d2 of ISO 724.
    """
    by_chart = _chart_mass(screw) if screw.standard == "ISO 4762" else None
    if by_chart is not None:
        return TableMass(grams=by_chart, share=None, source=_CHART_SOURCE, tag="seen in a copy of the source")
    volume = screw_volume(screw)
    if volume is None:
        return None
    return TableMass(
        grams=volume * STEEL * GRAMS_PER_MM3,
        share=SHAPE_SHARE,
        source=f"shape of {screw.standard}",
        tag="worked out from the shape",
    )


def _chart_mass(screw: Screw) -> float | None:
    row = _CHART.get(screw.thread)
    if row is None:
        return None
    lengths = tuple(row)
    if not lengths[0] <= screw.length_mm <= lengths[-1]:
        return None
    above = bisect_left(lengths, screw.length_mm)
    if lengths[above] == screw.length_mm:
        return row[lengths[above]]
    shorter, longer = lengths[above - 1], lengths[above]
    part = (screw.length_mm - shorter) / (longer - shorter)
    return row[shorter] + part * (row[longer] - row[shorter])


def screw_volume(screw: Screw) -> float | None:
    """The volume of a screw from its shape, as `screw_mass` says.

    screw: what the type says. Result: mm3; None where no table has the head, or the head is longer than the
    screw.
    Source: plain geometry; pitch diameter d2 = d − 0.6495·P, ISO 724.
    """
    socket = _socket_of(screw)
    if socket is None:
        return None
    diameter, dk, k = screw.diameter_mm, socket.dk, socket.k
    shank_length = screw.length_mm
    if screw.head == "cap":
        head = pi / 4 * dk**2 * k
    elif screw.head == "button":
        head = pi * k * (3 * (dk / 2) ** 2 + k**2) / 6
    else:
        height = (dk - diameter) / 2
        head = pi * height / 12 * (dk**2 + dk * diameter + diameter**2)
        shank_length -= height
    if shank_length < 0:
        return None
    return (
        head
        - sqrt(3) / 2 * socket.s**2 * socket.t
        + pi / 4 * pitch_diameter(screw.thread) ** 2 * shank_length
    )


def _socket_of(screw: Screw) -> _Socket | None:
    if screw.standard == _INCH_STANDARD:
        return _INCH[screw.head].get(screw.thread.split("-")[0])
    return _METRIC[screw.head].get(screw.thread)


def pitch_diameter(thread: str) -> float:
    """d2 = d − 0.649519·P of a 60° thread.

    thread: one of the known sizes. Result: mm; KeyError where the size is not known.
    Source: ISO 68-1, ISO 724 (from memory).
    """
    size = _THREADS[thread]
    return size.diameter - 0.649519 * size.pitch


@cache
def nut_mass(thread: str, standard: Literal["ISO 4032", "DIN 985"] = "ISO 4032") -> TableMass | None:
    """The mass of one hexagon nut in steel.

    ISO 4032: ρ·m·(√3/2·s² − π/4·d2²), chamfers left out; DIN 985 (with a ring): as listed.
    thread: metric size. standard: which nut.
    Result: g each; None where the table has no such size.
    Source: ISO 4032 sizes, FastenersWB csv; DIN 985 masses, fasten.it (seen in copies).
    """
    if standard == "DIN 985":
        listed = _LOCK_NUTS.get(thread)
        if listed is None:
            return None
        return TableMass(
            grams=listed, share=None, source="DIN 985 masses, fasten.it", tag="seen in a copy of the source"
        )
    if thread not in _NUTS:
        return None
    flats, height = _NUTS[thread]
    volume = height * (sqrt(3) / 2 * flats**2 - pi / 4 * pitch_diameter(thread) ** 2)
    return TableMass(
        grams=volume * STEEL * GRAMS_PER_MM3,
        share=SHAPE_SHARE,
        source="shape of ISO 4032",
        tag="worked out from the shape",
    )


@cache
def washer_mass(thread: str) -> TableMass | None:
    """The mass of one plain washer in steel, ρ·π/4·(d2² − d1²)·h.

    thread: metric size. Result: g each; None where the table has no such size.
    Source: ISO 7089 sizes, FastenersWB csv (seen in a copy); M5 and M6 agree with masses printed by
    ajaxboltco.com.
    """
    if thread not in _WASHERS:
        return None
    hole, outside, thickness = _WASHERS[thread]
    volume = pi / 4 * (outside**2 - hole**2) * thickness
    return TableMass(
        grams=volume * STEEL * GRAMS_PER_MM3,
        share=None,
        source="ISO 7089 sizes, FastenersWB csv",
        tag="seen in a copy of the source",
    )
