"""builds/DESIGN/LABEL/build.yaml → BuildRecord, and the notes file of `record` → notes on changes."""

import re
from collections.abc import Callable
from typing import Any

from lineage.spec import names
from lineage.spec.document import Mapping, Node, Scalar
from lineage.spec.fields import (
    BAD,
    Key,
    ListOf,
    NameMap,
    Reading,
    Schema,
    Table,
    read_table,
    read_value,
    required,
    shortened,
    wrong_shape,
)
from lineage.spec.log import TRUTH
from lineage.spec.names import BadName
from lineage.spec.records import BUILD_FORMAT, BuildRecord, ChangeNote, Expectation, Path, Read
from lineage.spec.scalars import (
    DAY,
    DESIGN_NAME,
    LABEL,
    LONGEST_QUANTITY,
    REF,
    REFS_OR_TEXTS,
    TEXT,
    TEXTS,
    Count,
    Named,
    Word,
    path_in_family,
)
from lineage.values.parsing import QuantityError, parse_duration, parse_quantity
from lineage.values.quantity import Quantity

AIMS = ("weight", "fit", "service", "failures", "performance", "cost")
_LIMIT = re.compile(r"\s*(at most|at least)\s+(?=\S)")
_FIGURE = re.compile(r"(seconds|gap|failures|reading) (\S.*)")
_BARE = ("less", "more", "none")
_EXPECTED = "`at most QTY`, `at least QTY`, `less`, `more` or `none`"
_FIGURES = "`seconds REF`, `gap FIT`, `failures REF` or `reading NAME`"


def _seconds(text: str) -> Quantity:
    return parse_duration(text)


def _gap(text: str) -> Quantity:
    return parse_quantity(text, "length", "angle")


def _failures(text: str) -> Quantity:
    return parse_quantity(text, "share", "count")


_PARSERS: dict[str, Callable[[str], Quantity]] = {
    "seconds": _seconds, "gap": _gap, "failures": _failures, "reading": parse_quantity,
}  # fmt: skip


class Expectations:
    """Figures → what is expected of them."""

    what = f"a mapping of {_FIGURES} to {_EXPECTED}"

    def read(self, node: Node, path: Path, reading: Reading) -> Any:
        """A tuple of expectations."""
        del path
        if not isinstance(node, Mapping):
            return wrong_shape(node, self.what, reading)
        found = [self._expectation(key, value, reading) for key, value in node.items]
        return BAD if any(one is BAD for one in found) else tuple(found)

    def _expectation(self, key: Scalar, value: Node, reading: Reading) -> Any:
        figure = _FIGURE.fullmatch(key.text)
        if figure is None:
            mend = "name a figure and what it is of, as in `seconds battery`"
            return reading.fault(key, "expectation", f"`{shortened(key.text)}` is no figure", _FIGURES, mend)
        if not isinstance(value, Scalar):
            return wrong_shape(value, _EXPECTED, reading)
        relation, quantity = value.text.strip(), None
        if len(value.text) <= LONGEST_QUANTITY and (limit := _LIMIT.match(value.text)):
            relation, quantity = limit[1], self._limit(value, limit.end(), figure[1], reading)
        elif relation not in _BARE:
            mend = "write it in one of these ways"
            return reading.fault(
                value, "expectation", f"`{shortened(relation)}` says nothing of a figure", _EXPECTED, mend
            )
        if quantity is BAD:
            return BAD
        fields: dict[str, Any] = {"figure": figure[1], "about": figure[2], "relation": relation}
        return Expectation(**fields, value=quantity, text=value.text)

    def _limit(self, node: Scalar, start: int, figure: str, reading: Reading) -> Any:
        try:
            return _PARSERS[figure](node.text[start:])
        except QuantityError as error:
            place = reading.document.within(node, start + error.offset, start + error.end)
            return reading.fault_at(place, "quantity", error.what, error.wanted, error.mend)

    def schema(self, shared: dict[str, Schema]) -> Schema:
        """An object from figures to texts."""
        del shared
        relation = {"type": "string", "pattern": r"^\s*(at (most|least)\s+\S.*|less|more|none)\s*$"}
        return {
            "type": "object",
            "propertyNames": {"pattern": f"^{_FIGURE.pattern}$"},
            "additionalProperties": relation,
        }


NOTE = Table(
    "note on a change",
    [
        required("about", REFS_OR_TEXTS, "references of what was changed"),
        Key("why", TEXT, "why"),
        Key("aim", ListOf(Word(*AIMS), or_one=True), "what it is meant to better"),
        Key("for", TEXTS, "references, modes, readings or trials that it is meant for"),
        Key("expect", Expectations(), "what figures are expected to become"),
        Key("described_better", TRUTH, "the thing is the same and only described better"),
    ],
    ChangeNote,
    extra=False,
)
NOTES = ListOf(NOTE)


def content_id(text: str) -> str:
    """The id of a file's content, or of a build; raises BadName."""
    if re.fullmatch(names.CONTENT_ID, text):
        return text
    wanted = "40 hexadecimal digits, in lower case"
    raise BadName(
        "content-id",
        f"`{shortened(text)}` is no content id",
        wanted,
        "take the file from a copy that is whole",
    )


def label_or_none(text: str) -> str | None:
    """A label, or `none`; raises BadName."""
    return None if text == "none" else names.build_label(text)


def _format(text: str) -> int:
    if text == str(BUILD_FORMAT):
        return BUILD_FORMAT
    mend = "read it with the edition that wrote it, or with a newer one"
    raise BadName("format", f"format {shortened(text)}", f"format {BUILD_FORMAT}", mend)


CONTENT_ID = Named("a content id", content_id, names.CONTENT_ID)
_FORMAT = Named("the edition of the format", _format, str(BUILD_FORMAT), numbers=True)
_BEFORE = Named("a label, or `none`", label_or_none, names.LABEL, numbers=True)
_FILES = NameMap("a mapping of path to content id", path_in_family, "", CONTENT_ID)
_USES = NameMap("a mapping of build to id", names.build_ref, names.BUILD_REF, CONTENT_ID)
_RENAMES = NameMap("a mapping of old to new reference", names.ref, names.REF, REF)

BUILD = Table(
    "build.yaml",
    [
        required("format", _FORMAT, "edition of the format"),
        required("tables", Count(), "edition of the built-in tables"),
        required("design", DESIGN_NAME, "the design that was recorded"),
        required("label", LABEL, "the build's label"),
        required("on", DAY, "the day of the record"),
        required("before", _BEFORE, "the build before it, or `none`"),
        required("id", CONTENT_ID, "SHA-1 of the lines `KEY ID` of `files` and `uses`"),
        required("files", _FILES, "path → content id"),
        Key("uses", _USES, "build of a module → its id"),
        Key("renames", _RENAMES, "old reference → new"),
        Key("notes", NOTES, "why things were changed"),
    ],
    BuildRecord,
    extra=False,
)  # fmt: skip


def read_build(data: bytes, file: str) -> Read[BuildRecord]:
    """Read build.yaml."""
    return read_table(data, file, BUILD)


def read_notes_file(data: bytes, file: str) -> Read[tuple[ChangeNote, ...]]:
    """Read the notes of a build that is about to be recorded: a list."""
    return read_value(data, file, NOTES, lambda notes, _: notes)
