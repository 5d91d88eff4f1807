"""results/DESIGN.yaml → Result, Weighing, GapReading …, entry by entry."""

from collections.abc import Callable, Iterable
from collections.abc import Mapping as MappingOf
from functools import lru_cache
from typing import Any

from lineage.problems import Place
from lineage.spec import names
from lineage.spec.document import Mapping, Node, Scalar
from lineage.spec.family_file import ROLE
from lineage.spec.fields import BAD, Key, ListOf, Misplaced, Reading, Table, plain, required, wrong_shape
from lineage.spec.log import (
    INSTEAD_OF,
    INSTEAD_OF_OR_LAST,
    NO,
    NOTE,
    WITHDRAWN,
    Drafts,
    Log,
    read_drafts,
    read_log,
)
from lineage.spec.records import BenchReading, GapReading, Path, Result, ServiceReading, Snag, Trial, Weighing
from lineage.spec.scalars import (
    CHOSEN,
    COUNT,
    COUNT_OR_NONE,
    DAY,
    EVENT,
    FREE,
    LABEL,
    PRICE,
    REF_OR_TEXT,
    REFS_OR_TEXTS,
    TEXT,
    TIME,
    Measured,
    Text,
    Word,
    not_below_zero,
)
from lineage.values.parsing import parse_quantity, parse_reading

NAME_OR_TEXT = Text("a name, or text", plain=names.FAMILY_NAME)
STAGES = (
    "cutting", "printing", "wiring", "assembling", "setup", "testing", "inspection", "pits", "charging",
    "transport", "stripdown",
)  # fmt: skip
BETTER = Word("more", "less")
_WEIGHED = Measured("a mass", not_below_zero, "mass", example="1352 g")
_GAP = Measured("a length", parse_quantity, "length", "angle", example="1.2 mm")


def _several(one: Measured) -> ListOf:
    return ListOf(one, or_one=True)


def _of_or_role(keys: MappingOf[str, Node], node: Mapping, path: Path, reading: Reading) -> bool:
    del node, path
    if "of" not in keys or "role" not in keys:
        return True
    reading.fault(keys["role"], "one-of", "`of` and `role` do not go together", "one of them, or neither",
                  "delete one; with neither the whole design was weighed")  # fmt: skip
    return False


def _not_more_than_tried(keys: MappingOf[str, Node], node: Mapping, path: Path, reading: Reading) -> bool:
    del node, path
    passed, tries = keys.get("passed"), keys.get("tries")
    if not isinstance(passed, Scalar) or not isinstance(tries, Scalar):
        return True
    if not (passed.text.isdecimal() and tries.text.isdecimal()) or int(passed.text) <= int(tries.text):
        return True
    what = f"{passed.text} of {tries.text} passed"
    reading.fault(passed, "tries", what, "no more passed than were tried", "put the two in order")
    return False


def _bench_keys(of: str) -> list[Key]:
    reading = Measured("a reading", parse_reading, of, example="21.4 N")
    return [
        required("of", TEXT, "what was read"),
        required("is", _several(reading), "the reading, or a list of them"),
        Key("better", BETTER, "which way is better"),
    ]


_OWN_KEYS: dict[str, list[Key]] = {
    "mass": [
        Key("of", REFS_OR_TEXTS, "what was weighed; the whole design where neither this nor `role` stands"),
        Key("role", ROLE, "everything of a role was weighed"),
        Key("except", REFS_OR_TEXTS, "what was not on the scale"),
        required("is", _several(_WEIGHED), "the reading, or a list of them"),
        Key("scale", NAME_OR_TEXT, "a scale of family.yaml"),
        Key("fitted", CHOSEN, "option → the choice that was in"),
        Key("count", COUNT, "how many pieces were on the scale"),
    ],
    "gap": [
        required("of", REF_OR_TEXT, "a fit"),
        required("is", _several(_GAP), "the gap, or a list of readings"),
    ],
    "service": [
        required("of", REF_OR_TEXT, "what was taken off and put back"),
        required("is", _several(TIME), "how long that took"),
    ],
    "bench": _bench_keys(""),
    "trial": [
        required("of", TEXT, "what was tried"),
        required("passed", COUNT_OR_NONE, "how often it went well"),
        required("tries", COUNT, "how often it was tried"),
        Key("better", BETTER, "which way is better"),
    ],
    "snag": [
        required("during", Text("; ".join(STAGES), plain="|".join(STAGES)), "at which work"),
        Key("at", REF_OR_TEXT, "at which thing"),
        required("mode", TEXT, "what went wrong"),
        Key("took", TIME, "how long it took"),
        Key("fix", TEXT, "what was done"),
        Key("price", PRICE, "what it cost"),
    ],
}  # fmt: skip
KINDS = tuple(_OWN_KEYS)
KIND = Word(*KINDS)
_MAKERS: dict[str, Callable[..., Result]] = {
    "mass": Weighing, "gap": GapReading, "service": ServiceReading, "bench": BenchReading, "trial": Trial,
    "snag": Snag,
}  # fmt: skip
_CHECKS = {"mass": _of_or_role, "trial": _not_more_than_tried}


def _elsewhere(kind: str) -> dict[str, Misplaced]:
    """Keys of the other kinds."""
    own = {key.name for key in _OWN_KEYS[kind]}
    found: dict[str, Misplaced] = {}
    for other, keys in _OWN_KEYS.items():
        for key in keys:
            if key.name not in own:
                what = f"`{key.name}` does not go with the kind {kind}"
                found[key.name] = Misplaced(
                    what, f"the keys of {kind}", f"delete it, or write `kind: {other}`"
                )
    return found


def _without_kind(make: Callable[..., Any]) -> Callable[..., Any]:
    return lambda kind=None, **fields: make(**fields)  # noqa: ARG005 - the class says the kind


def _table(kind: str, own: Iterable[Key], *, draft: bool) -> Table:
    on = Key("on", DAY, "the day", required=not draft)
    keys = [
        on,
        required("kind", KIND, "mass, gap, service, bench, trial or snag"),
        Key("build", LABEL, "the label of the build"),
        *own,
        Key("who", TEXT, "who did it"),
        NOTE,
        Key("event", EVENT, "the event at which it was"),
        NO,
        INSTEAD_OF_OR_LAST if draft else INSTEAD_OF,
        WITHDRAWN,
    ]
    return Table(
        f"result of kind {kind}",
        keys,
        _without_kind(_MAKERS[kind]),
        check=_CHECKS.get(kind),
        elsewhere=_elsewhere(kind),
    )


TABLES = {kind: _table(kind, own, draft=False) for kind, own in _OWN_KEYS.items()}
DRAFT_TABLES = {kind: _table(kind, own, draft=True) for kind, own in _OWN_KEYS.items()}


@lru_cache(maxsize=256)
def _bench_table(of: str, *, draft: bool) -> Table:
    """What a reading is of says whether grams are a force."""
    return _table("bench", _bench_keys(of), draft=draft)


def _withdrawal_keys(*, draft: bool) -> list[Key]:
    """A withdrawal may keep what its entry said; nothing of it is read."""
    kept = dict.fromkeys(key.name for keys in _OWN_KEYS.values() for key in keys)
    instead_of = INSTEAD_OF_OR_LAST if draft else INSTEAD_OF
    return [
        Key("on", DAY, "the day"),
        Key("kind", KIND, "the kind of the entry that is struck out"),
        Key("build", LABEL, "the label of the build"),
        *(Key(name, FREE, "what the struck entry said") for name in kept),
        Key("who", TEXT, "who did it"),
        NOTE,
        Key("event", EVENT, "the event at which it was"),
        NO,
        required("instead_of", instead_of.value, "the id of the entry that is struck out"),
        required("withdrawn", WITHDRAWN.value, WITHDRAWN.about),
    ]


def _bare_result(**fields: Any) -> Result:
    return Result(**{name: value for name, value in fields.items() if name in Result.__struct_fields__})


WITHDRAWAL = Table("withdrawal", _withdrawal_keys(draft=False), _without_kind(_bare_result))
DRAFT_WITHDRAWAL = Table("withdrawal", _withdrawal_keys(draft=True), _without_kind(_bare_result))


def _table_of(node: Mapping, reading: Reading, *, draft: bool) -> Table | None:
    """The table for an entry; None where its kind is no kind, which is then told."""
    texts = {key.text: value for key, value in node.items}
    if "withdrawn" in texts:
        return DRAFT_WITHDRAWAL if draft else WITHDRAWAL
    kind, of = texts.get("kind"), texts.get("of")
    if kind is None:
        reading.fault(node, "missing-key", "the entry has no `kind`", f"`kind`: {KIND.what}", "add `kind: …`")
        return None
    word = KIND.read(kind, (), reading)
    if word is BAD:
        return None
    if word == "bench" and isinstance(of, Scalar):
        return _bench_table(of.text, draft=draft)
    return (DRAFT_TABLES if draft else TABLES)[word]


def read_results(data: bytes, file: str, design: str) -> Log[Result]:
    """Read the results of a design, entry by entry."""

    def read_entry(node: Node, entry: str, place: Place, reading: Reading) -> Any:
        if not isinstance(node, Mapping):
            return wrong_shape(node, "an entry: `{on: …, kind: …, is: …}`", reading)
        table = _table_of(node, reading, draft=False)
        if table is None:
            return BAD
        known = {"id": entry, "place": place, "design": design}
        return table.read(node, (), reading, known)

    return read_log(data, file, read_entry)


def read_result_entries(data: bytes, file: str) -> Drafts:
    """Read a YAML list of results that are to be appended; `on` may be left to whoever appends them."""

    def check(node: Node, reading: Reading) -> Any:
        if not isinstance(node, Mapping):
            return wrong_shape(node, "an entry: `{kind: …, is: …}`", reading)
        table = _table_of(node, reading, draft=True)
        unknown = {"id": "", "place": reading.document.place(node), "design": ""}
        return BAD if table is None or table.read(node, (), reading, unknown) is BAD else plain(node)

    return read_drafts(data, file, check)
