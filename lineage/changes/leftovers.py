"""Which leaf differs inside nested free text (notes, settings, `x-` keys), in words. The only door to DeepDiff."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

MOST_NAMED = 3  # leaves named one by one; the rest are counted


def nested_difference(before: Any, after: Any) -> str | None:
    """What differs inside two nested values, in words; None where they are equal or either is not nested.

    `1` and `1.0` are one number.
    """
    if not (_is_nested(before) and _is_nested(after)) or before == after:
        return None
    said = list(_differing(_plain(before), _plain(after)))
    more = len(said) - MOST_NAMED
    rest = [f"{more} more"] if more > 0 else []
    return "; ".join([*said[:MOST_NAMED], *rest]) or None


def _is_nested(value: Any) -> bool:
    return isinstance(value, Mapping | list | tuple)


def _plain(value: Any) -> Any:
    """The same in dicts and lists, numbers as floats: the library tells an int from a float of its value."""
    if isinstance(value, Mapping):
        return {str(key): _plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    return float(value) if is_number else value


def _differing(before: Any, after: Any) -> Iterator[str]:
    from deepdiff import DeepDiff  # noqa: PLC0415 - slow to load, and seldom needed

    found = DeepDiff(
        before,
        after,
        view="tree",
        threshold_to_diff_deeper=0,
        ignore_private_variables=False,
        verbose_level=2,
    )
    levels = [level for group in found.values() for level in group]
    for level in sorted(levels, key=lambda level: [str(step) for step in level.path(output_format="list")]):
        where = _where(level.path(output_format="list"))
        if _is_absent(level.t1):
            yield f"{where}: {_said(level.t2)} added"
        elif _is_absent(level.t2):
            yield f"{where}: {_said(level.t1)} dropped"
        else:
            yield f"{where}: {_said(level.t1)} → {_said(level.t2)}"


def _is_absent(value: Any) -> bool:
    from deepdiff.helper import NotPresent  # noqa: PLC0415

    return isinstance(value, NotPresent) or value is NotPresent


def _where(path: Sequence[Any]) -> str:
    """The keys down to a leaf; positions in a list are counted from 1."""
    return " ".join(f"no. {step + 1}" if isinstance(step, int) else str(step) for step in path) or "all of it"


def _said(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:g}"
    if isinstance(value, Mapping):
        return ", ".join(f"{key} {_said(item)}" for key, item in value.items())
    if isinstance(value, list):
        return ", ".join(_said(item) for item in value)
    return str(value)
