"""How far sheet and plate may be from the thickness they are sold by.

Read from tables of standards, as copies print them; where no table was to be had, none is known.
"""

from bisect import bisect_left
from collections.abc import Mapping

from msgspec import Struct

from lineage.figures.standards.materials import SheetKind, Tag


class ThicknessSpread(Struct, frozen=True, kw_only=True):
    """Magnitudes in mm by which a sheet may be thicker or thinner, with where they are printed."""

    plus_mm: float
    minus_mm: float
    source: str
    tag: Tag

    @property
    def largest_mm(self) -> float:
        """The larger of its two sides: by how much a sheet may be off at most."""
        return max(self.plus_mm, self.minus_mm)


class _Table(Struct, frozen=True, kw_only=True):
    """Steps "over the one before, up to and including `up_to`"; nothing at or below `over`."""

    over: float
    up_to: tuple[float, ...]
    plus: tuple[float, ...]
    minus: tuple[float, ...]
    source: str
    tag: Tag = "seen in a copy of the source"

    def at(self, thickness_mm: float) -> ThicknessSpread | None:
        step = bisect_left(self.up_to, thickness_mm)
        if thickness_mm <= self.over or step == len(self.up_to):
            return None
        return ThicknessSpread(
            plus_mm=self.plus[step], minus_mm=self.minus[step], source=self.source, tag=self.tag
        )


_EN_485_4 = (
    "EN 485-4:1994, cold-rolled sheet, width up to 1000 mm (copies: pdfcoffee.com, scribd.com 452970822)"
)
_EN_485_4_STEPS = (1.0, 1.2, 1.5, 1.8, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0)
_GROUP_I = (0.04, 0.04, 0.05, 0.06, 0.06, 0.07, 0.08, 0.10, 0.15, 0.18, 0.20, 0.24, 0.27, 0.32)
_GROUP_II = (0.05, 0.05, 0.07, 0.08, 0.09, 0.10, 0.11, 0.12, 0.15, 0.18, 0.20, 0.24, 0.27, 0.32)

# "0.80 to 0.99" of the copies is read as "up to, not including 1.00": the step ends just below.
_EN_10259_STEPS = (0.299, 0.499, 0.599, 0.799, 0.999, 1.199, 1.499, 1.999, 2.499, 2.999, 3.999)
_EN_10259 = (0.03, 0.04, 0.045, 0.05, 0.055, 0.06, 0.07, 0.08, 0.09, 0.11, 0.13)

_EN_10051_STEPS = (2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.5, 15.0)
_EN_10051 = (0.17, 0.18, 0.20, 0.22, 0.24, 0.26, 0.29, 0.32, 0.35, 0.37)

# Nominal thicknesses of the table; a step reaches half way to the next one.
_EN_315_STEPS = (5.25, 7.75, 10.5, 13.5, 16.5, 19.5, 22.5, 25.5, 28.5, 31.5)
_EN_315_PLUS = (0.3, 0.4, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.1)
_EN_315_MINUS = (0.5, 0.5, 0.5, 0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.3)

_TABLES: Mapping[SheetKind, _Table] = {
    "aluminium group I": _Table(
        over=0.8, up_to=_EN_485_4_STEPS, plus=_GROUP_I, minus=_GROUP_I, source=_EN_485_4
    ),
    "aluminium group II": _Table(
        over=0.8, up_to=_EN_485_4_STEPS, plus=_GROUP_II, minus=_GROUP_II, source=_EN_485_4
    ),
    "stainless": _Table(
        over=0.0,
        up_to=_EN_10259_STEPS,
        plus=_EN_10259,
        minus=_EN_10259,
        source="EN 10259 (now ISO 9445), cold-rolled, width 1000 mm (copies: stainlessmetricstock.com, zh-ss.net)",
    ),
    "hot-rolled steel": _Table(
        over=0.0,
        up_to=_EN_10051_STEPS,
        plus=_EN_10051,
        minus=_EN_10051,
        source="EN 10051, hot-rolled, category A, width up to 1200 mm (copy: tubingchina.com); cold-rolled is closer",
    ),
    "plywood": _Table(
        over=2.5,
        up_to=_EN_315_STEPS,
        plus=_EN_315_PLUS,
        minus=_EN_315_MINUS,
        source="EN 315 kind, sanded, nearest nominal (copies: plyterra.com, nestplywood.com)",
    ),
}

_ISO_7823 = "a maker's page on tolerances that cites ISO 7823-1 and -2"
_PLUS_SIDED_MM = 0.635
_PLUS_SIDED_FROM_MM = 6.0


def thickness_spread(kind: SheetKind | None, thickness_mm: float) -> ThicknessSpread | None:
    """What a sheet of a nominal thickness may be off by, from the tolerance table of its kind.

    Tables by thickness for aluminium, stainless, steel and plywood; extruded acrylic ±10 % under 3 mm, ±5 %
    from 3 mm (polycarbonate likewise); cast acrylic ±(0.4 + 0.1·t) mm; engineering plastics +0.635/−0 mm.
    kind: what sheet it is, of the material's row. thickness_mm: nominal, mm.
    Result: magnitudes in mm; None where no table of the kind covers the thickness.
    Source: EN 485-4:1994; EN 10259; EN 10051; EN 315; ISO 7823-1 and -2 (all as copies print them); ISO
    11963 from memory; a plastics dealer's page on thickness tolerances (iplasticsupply.com), its plus side
    read only from 6 mm, since thinner sheet with 0.635 mm on it would not be sold as such.
    """
    if kind is None or not thickness_mm > 0:
        return None
    if kind in _TABLES:
        return _TABLES[kind].at(thickness_mm)
    if kind == "acrylic cast":
        return _both_sides(0.4 + 0.1 * thickness_mm, _ISO_7823)
    share = 0.10 if thickness_mm < 3 else 0.05
    if kind == "acrylic extruded":
        return _both_sides(share * thickness_mm, _ISO_7823)
    if kind == "polycarbonate":
        return _both_sides(share * thickness_mm, "ISO 11963", "from memory")
    if thickness_mm < _PLUS_SIDED_FROM_MM:
        return None
    return ThicknessSpread(
        plus_mm=_PLUS_SIDED_MM,
        minus_mm=0.0,
        source="dealer's page, +.025/-.00 in for most engineering plastics, iplasticsupply.com",
        tag="seen in a copy of the source",
    )


def _both_sides(limit_mm: float, source: str, tag: Tag = "seen in a copy of the source") -> ThicknessSpread:
    return ThicknessSpread(plus_mm=limit_mm, minus_mm=limit_mm, source=source, tag=tag)
