"""The closed table of units: symbol → dimension and factor to the base unit of that dimension.

Factors are exact where the unit is defined exactly. Source: A. Thompson and B. N. Taylor, NIST Special
Publication 811, Guide for the Use of the International System of Units, 2008, appendix B.8 (inch, foot, mil,
ounce, pound, gram-force, pound-force, pounds per square inch, miles per hour); the others follow from the SI
prefixes. Currency codes: ISO 4217, list one, edition of 2025, without metals, bond units and test codes; money
is never converted.
"""

from collections.abc import Mapping
from math import pi
from typing import Final

from msgspec import Struct

from lineage.values.quantity import Dimension


class Unit(Struct, frozen=True):
    """A unit. `tens` is the power of ten that its factor is, None where it is none."""

    symbol: str
    dimension: Dimension
    factor: float
    tens: int | None = None


STANDARD_GRAVITY: Final = 9.80665  # m/s2, exact
_OUNCE: Final = 28.349523125  # g, exact: a sixteenth of the pound
_POUND: Final = 453.59237  # g, exact
_INCH: Final = 25.4  # mm, exact
_FOOT: Final = 12 * _INCH
_POUND_FORCE: Final = 4.4482216152605  # N, exact: pound times standard gravity
_OUNCE_FORCE: Final = _POUND_FORCE / 16

_TENS: Final[Mapping[Dimension, Mapping[str, int]]] = {
    "mass": {"g": 0, "kg": 3, "mg": -3},
    "length": {"mm": 0, "cm": 1, "m": 3, "um": -3},
    "area": {"mm2": 0, "cm2": 2, "m2": 6},
    "volume": {"mm3": 0, "cm3": 3, "ml": 3},
    "density": {"kg/m3": -6, "g/cm3": -3},
    "areal": {"g/m2": -6, "kg/m2": -3},
    "linear": {"g/m": -3, "kg/m": 0},
    "force": {"N": 0, "kN": 3},
    "torque": {"Nm": 0, "N m": 0, "Ncm": -2},
    "time": {"s": 0, "ms": -3},
    "speed": {"m/s": 0},
    "rotation": {"rpm": 0},
    "angle": {"deg": 0},
    "current": {"A": 0, "mA": -3},
    "voltage": {"V": 0, "mV": -3},
    "charge": {"Ah": 0, "mAh": -3},
    "energy": {"J": 0},
    "power": {"W": 0},
    "motor constant": {"rpm/V": 0},
    "temperature": {"degC": 0},
    "pressure": {"Pa": 0, "kPa": 3, "MPa": 6},
    "share": {"%": -2},
}

_FACTORS: Final[Mapping[Dimension, Mapping[str, float]]] = {
    "mass": {"oz": _OUNCE, "lb": _POUND},
    "length": {"in": _INCH, "ft": _FOOT, "mil": _INCH / 1000},
    "area": {"in2": _INCH**2},
    "volume": {"in3": 16387.064},
    "density": {"lb/in3": _POUND / 16387.064},
    "force": {
        "gf": STANDARD_GRAVITY / 1000,
        "kgf": STANDARD_GRAVITY,
        "ozf": _OUNCE_FORCE,
        "lbf": _POUND_FORCE,
    },
    "torque": {
        "kgf.cm": STANDARD_GRAVITY / 100,
        "ozf in": _OUNCE_FORCE * _INCH / 1000,
        "lbf in": _POUND_FORCE * _INCH / 1000,
    },
    "time": {"min": 60.0, "h": 3600.0},
    "speed": {"km/h": 1000 / 3600, "mph": 0.44704, "ft/s": 0.3048},
    "rotation": {"rad/s": 30 / pi},
    "angle": {"rad": 180 / pi},
    "energy": {"Wh": 3600.0},
    "pressure": {"psi": _POUND_FORCE / (_INCH / 1000) ** 2},
}

_CODES: Final = (
    "AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BGN BHD BIF BMD BND BOB BOV BRL BSD BTN BWP BYN BZD "
    "CAD CDF CHE CHF CHW CLF CLP CNY COP COU CRC CUP CVE CZK DJF DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP "
    "GEL GHS GIP GMD GNF GTQ GYD HKD HNL HTG HUF IDR ILS INR IQD IRR ISK JMD JOD JPY KES KGS KHR KMF KPW "
    "KRW KWD KYD KZT LAK LBP LKR LRD LSL LYD MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MXV MYR MZN "
    "NAD NGN NIO NOK NPR NZD OMR PAB PEN PGK PHP PKR PLN PYG QAR RON RSD RUB RWF SAR SBD SCR SDG SEK SGD "
    "SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TND TOP TRY TTD TWD TZS UAH UGX USD USN UYI UYU UYW "
    "UZS VED VES VND VUV WST XAF XCD XCG XOF XPF YER ZAR ZMW ZWG "
)
CURRENCIES: Final = frozenset(_CODES.split())

BARE_COUNT: Final = Unit("", "count", 1.0, 0)
BARE_SHARE: Final = Unit("", "share", 1.0, 0)


def _table() -> dict[str, Unit]:
    units = [
        Unit(symbol, dimension, float(f"1e{tens}"), tens)
        for dimension, symbols in _TENS.items()
        for symbol, tens in symbols.items()
    ]
    units += [
        Unit(symbol, dimension, factor)
        for dimension, symbols in _FACTORS.items()
        for symbol, factor in symbols.items()
    ]
    units += [Unit(code, "money", 1.0, 0) for code in sorted(CURRENCIES)]
    return {unit.symbol: unit for unit in units}


UNITS: Final[Mapping[str, Unit]] = _table()

BASE: Final[Mapping[Dimension, str]] = {
    "mass": "g", "length": "mm", "area": "mm2", "volume": "mm3", "density": "g/mm3", "areal": "g/mm2",
    "linear": "g/mm", "force": "N", "torque": "Nm", "time": "s", "speed": "m/s", "rotation": "rpm", "angle": "deg",
    "current": "A", "voltage": "V", "charge": "Ah", "energy": "J", "power": "W", "motor constant": "rpm/V",
    "temperature": "degC", "pressure": "Pa", "count": "", "share": "",
}  # fmt: skip

# What people write by habit, and the symbol that this table has for it.
HABITS: Final[Mapping[str, str]] = {
    "gr": "g", "gm": "g", "gms": "g", "grm": "g", "gram": "g", "grams": "g", "gramme": "g", "kgs": "kg",
    "kilo": "kg", "kilos": "kg", "lbs": "lb", "pound": "lb", "pounds": "lb", "ounce": "oz", "ounces": "oz",
    "inch": "in", "inches": "in", '"': "in", "''": "in", "″": "in", "”": "in", "thou": "mil", "'": "ft",
    "′": "ft", "foot": "ft", "feet": "ft", "µm": "um", "μm": "um", "micron": "um", "microns": "um",
    "mm²": "mm2", "cm²": "cm2", "m²": "m2", "in²": "in2", "mm^2": "mm2", "cm^2": "cm2", "m^2": "m2",
    "in^2": "in2", "sq in": "in2", "mm³": "mm3", "cm³": "cm3", "in³": "in3", "mm^3": "mm3", "cm^3": "cm3",
    "in^3": "in3", "cc": "cm3", "kg/m³": "kg/m3", "g/cm³": "g/cm3", "g/cc": "g/cm3", "kg/m^3": "kg/m3",
    "g/cm^3": "g/cm3", "lb/in³": "lb/in3", "g/m²": "g/m2", "kg/m²": "kg/m2", "gsm": "g/m2", "g/m^2": "g/m2",
    "kg/m^2": "kg/m2", "N·m": "Nm", "N.m": "Nm", "N*m": "Nm", "N cm": "Ncm", "N·cm": "Ncm",
    "kgf cm": "kgf.cm", "kgf·cm": "kgf.cm", "kgfcm": "kgf.cm", "kg.cm": "kgf.cm", "kg cm": "kgf.cm",
    "kg-cm": "kgf.cm", "oz in": "ozf in", "oz-in": "ozf in", "ozf-in": "ozf in", "ozf.in": "ozf in",
    "lb in": "lbf in", "in lb": "lbf in", "in lbf": "lbf in", "lbf.in": "lbf in", "lbs in": "lbf in",
    "sec": "s", "secs": "s", "second": "s", "seconds": "s", "mins": "min", "minute": "min", "minutes": "min",
    "hr": "h", "hrs": "h", "hour": "h", "hours": "h", "kph": "km/h", "kmh": "km/h", "fps": "ft/s",
    "mi/h": "mph", "RPM": "rpm", "1/min": "rpm", "kv": "rpm/V", "kV": "rpm/V", "KV": "rpm/V", "Kv": "rpm/V",
    "°": "deg", "degree": "deg", "degrees": "deg", "°C": "degC", "C": "degC", "celsius": "degC", "amp": "A",
    "amps": "A", "volt": "V", "volts": "V", "mah": "mAh", "watt": "W", "watts": "W", "€": "EUR", "$": "USD",
    "£": "GBP", "percent": "%", "pct": "%",
}  # fmt: skip

_NAMES: Final[Mapping[Dimension, str]] = {
    "area": "an area",
    "areal": "a mass per area",
    "linear": "a mass per length",
    "angle": "an angle",
    "energy": "an energy",
    "motor constant": "a motor constant",
    "rotation": "a speed of rotation",
    "time": "a time",
    "money": "a price",
}


def name_of(dimension: Dimension) -> str:
    """`mass` → `a mass`, for messages."""
    return _NAMES.get(dimension, f"a {dimension}")


def symbols_of(*dimensions: Dimension) -> tuple[str, ...]:
    """Symbols of the units of some dimensions, the usual one first; of all where none is named."""
    if not dimensions:
        return tuple(UNITS)
    return tuple(unit.symbol for d in dimensions for unit in UNITS.values() if unit.dimension == d)


def usual_unit(dimension: Dimension) -> str:
    """The unit that messages show for a dimension; none for a count."""
    if dimension == "money":
        return "EUR"
    return next((unit.symbol for unit in UNITS.values() if unit.dimension == dimension), "")
