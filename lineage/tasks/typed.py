"""What a tired person types in the pits → the keys of a log entry, kept as truthfully as can be."""

import re
from collections.abc import Sequence
from typing import Any

from lineage.problems import AskedWrongly, nearest
from lineage.values.parsing import QuantityError, parse_duration

SEVERITIES = ("cosmetic", "weakened", "disabling")
_STARTS_NUMBER = re.compile(r"(?!\+[0-9.]+/)[-+]?[0-9.]")  # `+0.2/-0.1` goes with the number before it
_HAS_UNIT = re.compile(r"[^\W\d_]|%|[0-9]:[0-9]")  # `2:10` needs none
_UNIT = re.compile(r"[0-9.]\s*([^\W\d_%][^±+]*|%)")  # what stands after the first number, its ± aside
_GOES_ON = re.compile(r"(±|\+-|\+/-|x|×)$")


def readings_from(words: Sequence[str]) -> list[str]:
    """`21.4 N 21.9 N`, number and unit apart or together → one text a reading."""
    readings: list[str] = []
    so_far = ""
    for word in words:
        is_new = _STARTS_NUMBER.match(word) and _HAS_UNIT.search(so_far) and not _GOES_ON.search(so_far)
        if is_new:
            readings.append(so_far)
            so_far = ""
        so_far = f"{so_far} {word}" if so_far else word
    return [*readings, so_far] if so_far else readings


def units_of(readings: Sequence[str]) -> tuple[str, ...]:
    """The different units that readings are typed in, in order; a time as `2:10` has none."""
    found = (_UNIT.search(reading) for reading in readings)
    return tuple(dict.fromkeys(match[1].strip() for match in found if match))


def one_or_list(items: Sequence[str]) -> str | list[str] | None:
    """One item alone, several as a list, none as None."""
    if not items:
        return None
    return items[0] if len(items) == 1 else list(items)


def damage_from(text: str) -> tuple[dict[str, Any], list[str]]:
    """`PLACE: rest` → the keys of a damage, and what to say about it.

    The rest is split at commas: a severity, a time and `cost the bout` are taken, what is left is the mode.
    """
    place, rest = _place_and_rest(text)
    damage: dict[str, Any] = {"at": place}
    said: list[str] = []
    modes = []
    for piece in _pieces(rest):
        word = piece.casefold()
        if word in SEVERITIES and "severity" not in damage:
            damage["severity"] = word
        elif word in {"cost the bout", "cost us the bout"}:
            damage["cost_bout"] = "yes"
        elif "took" not in damage and _is_time(piece):
            damage["took"] = piece
        else:
            modes.append(piece)
            said += _looks_like_severity(word)
    damage["mode"] = ", ".join(modes) or "broke"
    ordered = ("at", "mode", "severity", "took", "cost_bout")
    return {key: damage[key] for key in ordered if key in damage}, said


def snag_from(text: str) -> dict[str, Any]:
    """`PLACE: rest` → the keys of a snag: a time is taken, what is left is the mode. The place may be missing."""
    snag: dict[str, Any] = {}
    rest = text
    if ":" in text:
        place, rest = _place_and_rest(text)
        snag["at"] = place
    modes = []
    for piece in _pieces(rest):
        if "took" not in snag and _is_time(piece):
            snag["took"] = piece
        else:
            modes.append(piece)
    if not modes:
        raise AskedWrongly(
            f"{text!r} does not say what went wrong",
            "PLACE: WHAT",
            'such as "power-tray.box: glue let go, 2 h"',
        )
    snag["mode"] = ", ".join(modes)
    return {key: snag[key] for key in ("at", "mode", "took") if key in snag}


def _place_and_rest(text: str) -> tuple[str, str]:
    """Split at the first colon; without one the first word is the place."""
    place, colon, rest = text.partition(":")
    if colon and not (place and place[-1].isdigit() and rest[:1].isdigit()):
        return place.strip() or "not said", rest.strip()
    place, _, rest = text.strip().partition(" ")
    return place or "not said", rest.strip()


def _pieces(text: str) -> list[str]:
    return [piece.strip() for piece in text.split(",") if piece.strip()]


def _is_time(text: str) -> bool:
    try:
        parse_duration(text)
    except QuantityError:
        return False
    return True


def _looks_like_severity(word: str) -> list[str]:
    near = nearest(word, SEVERITIES) if " " not in word else None
    if near is None:
        return []
    return [f"{word!r} was kept as what broke; if it was meant as the severity, write {near}"]
