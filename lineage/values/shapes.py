"""Sizes, positions and sections: several numbers with one unit.

`68 x 35 x 17 mm`, each number with its own ± or one behind the unit for all; `10 x -20 x 5 mm`; `20 x 10 mm bar`.
"""

import re
from difflib import get_close_matches
from typing import Final, cast

from lineage.values.formatting import count_of
from lineage.values.quantity import Dimension, Position, Quantity, Section, SectionShape, Size
from lineage.values.scanning import (
    NUMBER,
    TAIL,
    UNIT,
    amount,
    bare_number,
    explained,
    last_digit,
    plain,
    quantity_between,
    spread,
    unit_between,
)
from lineage.values.slips import QuantityError, fault, number_slip
from lineage.values.units import HABITS, UNITS, Unit

# the five groups of TAIL, in the unit of all numbers or in %
_OWN = rf"(?:(?:±|\+/?-)\s*({NUMBER})\s*(%)?|\+\s*({NUMBER})\s*/\s*-\s*({NUMBER})((?!))?)"
_ONE = rf"([+-]?{NUMBER})\s*{_OWN}?"
_BY = r"\s*[x×]\s*"
_NUMBERS = re.compile(rf"\s*{_ONE}(?:{_BY}{_ONE})?(?:{_BY}{_ONE})?\s*({UNIT})?\s*{TAIL}?\s*")
_FIRST: Final = (1, 7, 13)  # groups of the numbers; those of their own ± follow each
_UNIT, _FOR_ALL = 19, 20

_Match = re.Match[str]


def parse_size(text: str, numbers: tuple[int, ...] = (3,), *, positive: bool = False) -> Size:
    """`68 x 35 x 17 mm`: length, width, height; with two numbers the height is free."""
    text = plain(text)
    count = max(numbers)
    found = _NUMBERS.fullmatch(text)
    if found is None:
        raise _no_size(text, count)
    parts = _quantities(text, found, ("length",))
    if len(parts) not in numbers:
        wanted = " or ".join(_SIZES[n] for n in sorted(numbers))
        what = f"{count_of(len(parts), 'number')} in a size"
        raise QuantityError(*_ends(text), what, wanted, f"write them all, as in `{_SAMPLE_SIZES[count]}`")
    if positive:
        _refuse_negative(text, found, parts)
    return Size(
        text=text.strip(), length=parts[0], width=parts[1], height=parts[2] if len(parts) == 3 else None
    )


_SIZES: Final = {2: "length x width", 3: "length x width x height"}
_SAMPLE_SIZES: Final = {2: "68 x 35 mm", 3: "68 x 35 x 17 mm"}


def _ends(text: str) -> tuple[int, int]:
    """Where what is written begins and ends."""
    return len(text) - len(text.lstrip()), max(len(text.rstrip()), len(text) - len(text.lstrip()))


def _quantities(text: str, found: _Match, dimensions: tuple[Dimension, ...]) -> tuple[Quantity, ...]:
    """The numbers of a match in its unit, each with its own ± or the one for all."""
    groups = [group for group in _FIRST if found[group] is not None]
    symbol = found[_UNIT]
    if symbol is None:
        at = max(found.end(group) for group in range(1, _UNIT) if found[group] is not None)
        raise bare_number(text, max(found.start(groups[-1]), 0), at, dimensions)
    unit = UNITS.get(symbol)
    if unit is None or unit.dimension not in dimensions:
        unit = unit_between(text, found.start(_UNIT), found.end(_UNIT), dimensions)
    if found.lastindex == _UNIT and not _any_own(found, groups):
        return tuple(_untoleranced(text, found, group, unit) for group in groups)
    _refuse_unclear(text, found, groups)
    return tuple(_toleranced(text, found, group, unit) for group in groups)


def _untoleranced(text: str, found: _Match, group: int, unit: Unit) -> Quantity:
    number = found[group]
    return Quantity(
        text=f"{number} {unit.symbol}",
        value=amount(text, found.start(group), number, unit),
        dimension=unit.dimension,
        unit=unit.symbol,
        last_digit=last_digit(number, unit),
    )


def _toleranced(text: str, found: _Match, group: int, unit: Unit) -> Quantity:
    number = found[group]
    value = amount(text, found.start(group), number, unit)
    first = group + 1 if _has_own(found, group) else _FOR_ALL
    plus, minus = spread(text, found, first, value, unit)
    typed = _typed_spread(text, found, first)
    return Quantity(
        text=f"{number} {unit.symbol} {typed}".strip(),
        value=value,
        dimension=unit.dimension,
        unit=unit.symbol,
        plus=plus,
        minus=minus,
        last_digit=last_digit(number, unit),
    )


def _typed_spread(text: str, found: _Match, first: int) -> str:
    """A tolerance as typed, its sign made ±."""
    if found[first] is not None:
        return f"± {found[first]} {found[first + 1] or ''}".strip()
    if found[first + 2] is not None:
        return text[found.start(first + 2) - 1 : found.end(first + 3)]
    return ""


def _has_own(found: _Match, group: int) -> bool:
    return found[group + 1] is not None or found[group + 3] is not None


def _any_own(found: _Match, groups: list[int]) -> bool:
    return any(_has_own(found, group) for group in groups)


def _refuse_unclear(text: str, found: _Match, groups: list[int]) -> None:
    """A ± behind the last number alone, or own ones together with one for all."""
    own = [group for group in groups if _has_own(found, group)]
    for_all = _typed_spread(text, found, _FOR_ALL)
    last = groups[-1]
    typed = _typed_spread(text, found, last + 1)
    if for_all and own:
        wanted = "its own ± behind each number, or one behind the unit for all"
        start = found.end(_UNIT)
        raise fault(text, start, len(text.rstrip()), "a second ± for the same number", wanted, "")
    if own == [last] and len(groups) > 1:
        numbers = [found[group] for group in groups]
        rest = text[found.start(_UNIT) : found.end(_UNIT)]
        every = f"{' x '.join(numbers)} {rest} {typed}"
        alone = f"{' x '.join(f'{n} ± 0' for n in numbers[:-1])} x {numbers[-1]} {typed} {rest}"
        raise fault(
            text, found.start(groups[0]), found.end(_UNIT),
            f"`{typed}` behind the last number alone: for all numbers, or for that one",
            "± behind the unit for all numbers, or behind each its own",
            every, alone,
        )  # fmt: skip


def _refuse_negative(text: str, found: _Match, parts: tuple[Quantity, ...]) -> None:
    for group, part in zip(_FIRST, parts, strict=False):
        if part.value <= 0:
            number = found[group]
            larger = number.lstrip("-") if part.value else "12"
            what = f"`{number}` where a size cannot be that small"
            raise fault(text, *found.span(group), what, "more than 0", larger)


_OTHER_BY = re.compile(r"\s*(?:[x×X*✕]|\bby\b|,(?=\s))\s*")


def _no_size(text: str, count: int) -> QuantityError:
    """Why there is no size, or no position."""
    repeated = _repeated_unit(text) or number_slip(text, 0, len(text))
    if repeated is not None:
        return repeated
    sample = _SAMPLE_SIZES.get(count, "68 x 35 x 17 mm")
    what = f"`{text.strip()}` is no size" if text.strip() else "nothing is written"
    return QuantityError(
        *_ends(text), what, f"{_SIZES.get(count, 'a number')} with one unit at the end", f"write `{sample}`"
    )


def _repeated_unit(text: str) -> QuantityError | None:
    """`68 mm x 35 mm`, `68*35 mm`, `68, 35 mm`: numbers that can be put right as they stand."""
    pieces = _OTHER_BY.split(text.strip())
    if len(pieces) not in _SIZES:
        return None
    typed = [re.fullmatch(rf"([+-]?{NUMBER})\s*([^\d\s±+-]\S*)?", piece) for piece in pieces]
    if None in typed:
        return None
    units = {HABITS.get(found[2], found[2]) for found in typed if found and found[2]}
    if len(units) > 1 or (units and not units <= UNITS.keys()):
        return None
    numbers = " x ".join(found[1] for found in typed if found)
    once = f"{numbers} {units.pop() if units else 'mm'}"
    if _NUMBERS.fullmatch(once) is None or once == text.strip():
        return None
    wanted = "numbers with ` x ` between them and one unit at the end"
    return fault(text, *_ends(text), f"`{text.strip()}` is not written as a size", wanted, once)


def parse_position(text: str) -> Position:
    """`10 x -20 x 5 mm`: x forward, y left, z up."""
    text = plain(text)
    found = _NUMBERS.fullmatch(text)
    if found is None:
        raise _no_size(text, 3)
    parts = _quantities(text, found, ("length",))
    if len(parts) != 3:
        what = f"{count_of(len(parts), 'number')} in a position"
        numbers = [*(found[group] for group in _FIRST if found[group]), "0", "0"][:3]
        mend = f"write `{' x '.join(numbers)} {found[_UNIT]}`"
        raise QuantityError(*_ends(text), what, "x forward, y left, z up", mend)
    if any(part.plus is not None for part in parts):
        exact = f"{' x '.join(found[group] for group in _FIRST)} {found[_UNIT]}"
        raise fault(text, *_ends(text), "a position with a tolerance", "three numbers with one unit", exact)
    x, y, z = (part.value for part in parts)
    return Position(text=text.strip(), x=x, y=y, z=z)


_SHAPES: Final = {"round": 1, "bar": 2, "tube": 2, "square": 1, "hex": 1}
_SAMPLES: Final = {
    "round": "6 mm round", "bar": "20 x 10 mm bar", "tube": "12 x 1 mm tube", "square": "8 mm square",
    "hex": "10 mm hex",
}  # fmt: skip
_SECTION_WANTED: Final = (
    "`6 mm round`, `20 x 10 mm bar`, `12 x 1 mm tube`, `8 mm square`, `10 mm hex` or an area"
)
_SECTION = re.compile(r"(.*\S)\s+([A-Za-z]+)\s*", re.DOTALL)
_HABITUAL_SHAPES: Final = {
    "rod": "round", "diameter": "round", "dia": "round", "pipe": "tube", "flat": "bar", "rectangle": "bar",
    "hexagon": "hex", "hexagonal": "hex", "sq": "square",
}  # fmt: skip


def parse_section(text: str, *, positive: bool = False) -> Section:
    """`6 mm round`, `20 x 10 mm bar`, `12 x 1 mm tube`, `8 mm square`, `10 mm hex`, or an area."""
    text = plain(text)
    worded = _SECTION.fullmatch(text)
    if worded is None or worded[2] not in _SHAPES:
        return _area_section(text, worded, positive=positive)
    shape = worded[2]
    end = worded.end(1)
    found = _NUMBERS.fullmatch(text, 0, end)
    if found is None:
        raise _repeated_in_section(text, end, shape) or explained(text, 0, end, ("length",))
    parts = _quantities(text, found, ("length",))
    if len(parts) != _SHAPES[shape]:
        what = f"{count_of(len(parts), 'number')} for a {shape}"
        sized = [f"{text[:end].strip()} {other}" for other, n in _SHAPES.items() if n == len(parts)]
        raise fault(
            text, *_ends(text), what, _SECTION_WANTED, *(sized if shape != "tube" else ()), _SAMPLES[shape]
        )
    if positive:
        _refuse_negative(text, found, parts)
    if shape == "tube":
        _refuse_thick_wall(text, found, parts)
    return Section(text=text.strip(), shape=cast("SectionShape", shape), numbers=parts)


def _repeated_in_section(text: str, end: int, shape: str) -> QuantityError | None:
    once = _repeated_unit(text[:end])
    if once is None:
        return None
    mend = f"{once.mend[:-1]} {shape}`"
    return QuantityError(once.offset, once.end, once.what, once.wanted, mend)


def _refuse_thick_wall(text: str, found: _Match, parts: tuple[Quantity, ...]) -> None:
    outside, wall = parts
    if 0 < wall.value * 2 < outside.value or wall.value <= 0 or outside.value <= 0:
        return
    turned = f"{found[7]} x {found[1]} {found[_UNIT]} tube"
    instead = turned if outside.value * 2 < wall.value else f"{found[1]} {found[_UNIT]} round"
    what = f"a wall of {wall.text} in a tube of {outside.text}"
    raise fault(text, *_ends(text), what, "outside by wall, the wall less than half of it", instead)


def _area_section(text: str, worded: _Match | None, *, positive: bool) -> Section:
    try:
        area = quantity_between(text, 0, len(text), ("area",))
    except QuantityError as no_area:
        raise _no_section(text, worded) or no_area from None
    if positive and area.value <= 0:
        raise fault(text, *_ends(text), "a section without an area", "more than 0", "12 mm2")
    return Section(text=text.strip(), shape="area", numbers=(area,))


def _no_section(text: str, worded: _Match | None) -> QuantityError | None:
    """What to say of a section with a shape that there is not, in another place, or with none."""
    turned = re.fullmatch(r"\s*([a-z]+)\s+(\S.*?)\s*", text)
    if turned is not None and turned[1] in _SHAPES:
        instead = f"{turned[2]} {turned[1]}"
        return fault(text, *_ends(text), f"`{turned[1]}` before its numbers", _SECTION_WANTED, instead)
    sized = _NUMBERS.fullmatch(text)
    if sized is not None and (sized[_UNIT] is None or sized[_UNIT] in UNITS):
        unit = UNITS.get(sized[_UNIT] or "mm")
        if unit is not None and unit.dimension == "length":
            count = sum(sized[group] is not None for group in _FIRST)
            bare = text.strip() if sized[_UNIT] else f"{text.strip()} mm"
            ways = [f"{bare} {shape}" for shape, n in _SHAPES.items() if n == count]
            return fault(
                text,
                *_ends(text),
                "a section without its shape",
                _SECTION_WANTED,
                *(ways or ["20 x 10 mm bar"]),
            )
    if worded is None or worded[2] in UNITS or worded[2] in HABITS:
        return number_slip(text, 0, len(text))
    name = worded[2].lower()
    near = get_close_matches(name, _SHAPES, n=1, cutoff=0.6)
    shape = _HABITUAL_SHAPES.get(name) or (name if name in _SHAPES else near[0] if near else None)
    if shape is None:
        return fault(text, *worded.span(2), f"`{worded[2]}` is no section", _SECTION_WANTED, "round")
    return fault(text, *worded.span(2), f"`{worded[2]}` is no section", _SECTION_WANTED, shape)
