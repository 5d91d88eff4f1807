"""A view as one JSON object: keys in the order of its record, numbers unrounded, never NaN."""

import json
import math
from collections.abc import Mapping, Sequence
from typing import Any

import msgspec

from lineage.problems import Problem


def as_text(view: Any, left_out: Mapping[str, Sequence[Problem]] | None = None) -> str:
    """One JSON object, indented, in UTF-8. Raises ValueError for a number that is not one.

    `left_out` is what could not be read, by file: the answer does without it and says so at its end.
    """
    plain = msgspec.to_builtins(view)
    for name in getattr(view, "FLATTENED", ()):
        plain = _flattened(plain, name)
    if left_out is not None:
        plain["left_out"] = [
            {"file": file, "line": p.place.line, "what": p.what} for file in left_out for p in left_out[file]
        ]
    return json.dumps(_checked(plain), ensure_ascii=False, indent=2, allow_nan=False)


def _flattened(plain: dict[str, Any], name: str) -> dict[str, Any]:
    """The keys of one inner record in its own place, as the answer has them."""
    return {
        k: v for key, value in plain.items() for k, v in (value.items() if key == name else ((key, value),))
    }


def _checked(value: Any) -> Any:
    if isinstance(value, float) and not math.isfinite(value):
        raise ValueError("a figure came out as no number")
    if isinstance(value, dict):
        return {key: _checked(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_checked(item) for item in value]
    return value
