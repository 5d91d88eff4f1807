"""Nodes → records by tables of keys: one table drives reading, what is said of errors, and the JSON schema.

A value reader answers `read(node, path, reading)` with what the node means, or with BAD after it noted a
problem; reading goes on so that all problems of a file come at once. `schema(shared)` says the same as JSON
schema, named tables going into `shared`.
"""

from collections.abc import Callable, Iterable
from collections.abc import Mapping as MappingOf
from keyword import iskeyword
from typing import Any, Final, Protocol

from msgspec import Struct, structs

from lineage.problems import Level, Place, Problem, in_order, nearest
from lineage.spec.document import Document, Faulty, Mapping, Node, Scalar, Sequence
from lineage.spec.names import BadName
from lineage.spec.nodes import parse
from lineage.spec.records import Path, Read

Schema = dict[str, Any]


_LONGEST_WORD, _MANY = 60, 200


class _Bad:
    """What a reader answers when it noted a problem."""

    __slots__ = ()

    def __repr__(self) -> str:
        return "BAD"


BAD: Final = _Bad()


class Reading:
    """One text that is being read: its document, the places of its keys, what is wrong with it."""

    __slots__ = ("document", "places", "problems")

    def __init__(self, document: Document) -> None:
        self.document = document
        self.places: dict[Path, Place] = {}
        self.problems: list[Problem] = list(document.problems)

    def fault(
        self, node: Node, code: str, what: str, wanted: str, mend: str, *, level: Level = "error"
    ) -> _Bad:
        """Note a problem at a node."""
        return self.fault_at(self.document.place(node), code, what, wanted, mend, level=level)

    def fault_at(
        self, place: Place, code: str, what: str, wanted: str, mend: str, *, level: Level = "error"
    ) -> _Bad:
        """Note a problem at a place."""
        self.problems.append(self.document.problem(place, code, what, wanted, mend, level=level))
        return BAD

    def bad_name(self, node: Node, error: BadName) -> _Bad:
        """Note a name that breaks a rule."""
        return self.fault(node, error.code, error.what, error.wanted, error.mend)

    def near(self, word: str, known: Iterable[str]) -> str | None:
        """The known word that was probably meant; not looked for once a text is mostly wrong."""
        return nearest(word, known) if len(word) <= _LONGEST_WORD and len(self.problems) < _MANY else None

    def result(self, record: Any) -> Read[Any]:
        """What was read, with the problems in order of place."""
        broken = record is BAD or any(p.level == "error" for p in self.problems)
        return Read(None if broken else record, in_order(self.problems))


class Value(Protocol):
    """Reads one value; `what` says what it wants."""

    @property
    def what(self) -> str:
        """What is wanted, in words."""

    def read(self, node: Node, path: Path, reading: Reading) -> Any:
        """What the node means, or BAD."""

    def schema(self, shared: dict[str, Schema]) -> Schema:
        """The same as JSON schema."""


class Key(Struct, frozen=True):
    """One key of a mapping: its name, the reader of its value, what it is for, the field it fills."""

    name: str
    value: Value
    about: str
    required: bool = False
    into: str = ""

    @property
    def field(self) -> str:
        """The field of the record: the key's name, with `_` behind a word that Python keeps for itself."""
        return self.into or (f"{self.name}_" if iskeyword(self.name) else self.name)


def required(name: str, value: Value, about: str, into: str = "") -> Key:
    """A key that has to be there."""
    return Key(name, value, about, required=True, into=into)


Check = Callable[[MappingOf[str, Node], Mapping, Path, Reading], bool]


class Misplaced(Struct, frozen=True):
    """What to say of a key that belongs to another kind of mapping; `instead` is the key that it stands for."""

    what: str
    wanted: str
    mend: str
    code: str = "unknown-key"
    instead: str = ""


class Table:
    """A mapping with known keys. `title` names it in messages and in the schema.

    `check` looks at which keys stand together (by name) and answers whether all is well; `elsewhere` has
    keys that belong to another kind of mapping; `extra` allows keys that
    start with `x-`.
    """

    def __init__(
        self,
        title: str,
        keys: Iterable[Key],
        make: Callable[..., Any],
        *,
        check: Check | None = None,
        elsewhere: MappingOf[str, Misplaced] | None = None,
        extra: bool = True,
    ) -> None:
        self.title, self.make, self.check, self.extra = title, make, check, extra
        self.keys = tuple(keys)
        self.elsewhere = elsewhere or {}
        self._readers = {key.name: (key.field, key.value.read) for key in self.keys}
        self._required = tuple(key.name for key in self.keys if key.required)

    @property
    def what(self) -> str:
        """What is wanted."""
        names = self._required or tuple(self._readers)[:3]
        return f"{self.title}: a mapping with {', '.join(f'`{name}`' for name in names)} …"

    def read(self, node: Node, path: Path, reading: Reading, given: MappingOf[str, Any] | None = None) -> Any:
        """The record, or BAD; `given` are fields that its text does not hold."""
        if type(node) is not Mapping:
            return wrong_shape(node, self.what, reading)
        values: dict[str, Any] = dict(given or ())
        extra: dict[str, Any] = {}
        meant: list[str] | None = None  # keys that were written wrongly, None where none was
        whole = True
        place, places, readers = reading.document.place, reading.places, self._readers
        for key, value in node.items:
            name = key.text
            at = (*path, name)
            known = readers.get(name)
            if known is not None:
                places[at] = place(value if type(value) is Scalar else key)
                got = known[1](value, at, reading)
                if got is BAD:
                    whole = False
                else:
                    values[known[0]] = got
            elif self.extra and name.startswith("x-"):
                places[at] = place(key)
                extra[name] = plain(value)
            else:
                meant = [*(meant or ()), self._unknown(key, reading)]
        if not self._complete(node, path, reading, meant) or not whole or meant:
            return BAD
        if extra:
            values["extra"] = extra
        return self.make(**values)

    def _complete(self, node: Mapping, path: Path, reading: Reading, meant: list[str] | None) -> bool:
        if not self._required and self.check is None:
            return True
        present = {key.text: value for key, value in node.items}
        missing = [name for name in self._required if name not in present and name not in (meant or ())]
        for name in missing:
            key = next(key for key in self.keys if key.name == name)
            at = reading.places.get(path) or reading.document.place(node)
            what = f"{named(path, self.title)} has no `{name}`"
            reading.fault_at(at, "missing-key", what, f"`{name}`: {key.value.what}", f"add `{name}: …`")
        return (self.check is None or self.check(present, node, path, reading)) and not missing

    def _unknown(self, key: Scalar, reading: Reading) -> str:
        """Note an unknown key; answers the key that was meant, or nothing."""
        if (misplaced := self.elsewhere.get(key.text)) is not None:
            reading.fault(key, misplaced.code, misplaced.what, misplaced.wanted, misplaced.mend)
            return misplaced.instead
        near = reading.near(key.text, self._readers)
        others = f"use one of {', '.join(self._readers)}" + ("; or begin it with `x-`" if self.extra else "")
        what = f"`{shortened(key.text)}` is no key of {self.title}"
        reading.fault(
            key, "unknown-key", what, "a key that is read here", f"write `{near}`" if near else others
        )
        return near or ""

    def schema(self, shared: dict[str, Schema]) -> Schema:
        """A named definition, made once."""
        name = self.title.replace(" ", "-")
        if name not in shared:
            shared[name] = {}
            shared[name] = self._definition(shared)
        return {"$ref": f"#/$defs/{name}"}

    def _definition(self, shared: dict[str, Schema]) -> Schema:
        properties = {
            key.name: {"description": key.about, **_not_a_bare_ref(key.value.schema(shared))}
            for key in self.keys
        }
        definition: Schema = {"type": "object", "properties": properties, "additionalProperties": False}
        if self._required:
            definition["required"] = list(self._required)
        if self.extra:
            definition["patternProperties"] = {"^x-": {}}
        return definition


def _not_a_bare_ref(schema: Schema) -> Schema:
    """Some readers of schemas ignore what stands beside a `$ref`."""
    return {"allOf": [schema]} if "$ref" in schema else schema


class NameMap:
    """A mapping whose keys are names that people choose; `rule` raises BadName, `pattern` says the same."""

    def __init__(self, what: str, rule: Callable[[str], object] | None, pattern: str, value: Value) -> None:
        self.what, self.rule, self.pattern, self.value = what, rule, pattern, value

    def read(self, node: Node, path: Path, reading: Reading) -> Any:
        """Name → value, or BAD."""
        if type(node) is not Mapping:
            return wrong_shape(node, self.what, reading)
        values: dict[str, Any] = {}
        whole = True
        for key, value in node.items:
            at = (*path, key.text)
            reading.places[at] = reading.document.place(key)
            got = self.value.read(value, at, reading)
            if not self._good(key, reading) or got is BAD:
                whole = False
            else:
                values[key.text] = got
        return values if whole else BAD

    def _good(self, key: Scalar, reading: Reading) -> bool:
        try:
            if self.rule is not None:
                self.rule(key.text)
        except BadName as error:
            reading.bad_name(key, error)
            return False
        return True

    def schema(self, shared: dict[str, Schema]) -> Schema:
        """An object with free names."""
        names = {"propertyNames": {"pattern": f"^(?:{self.pattern})$"}} if self.pattern else {}
        return {"type": "object", **names, "additionalProperties": self.value.schema(shared)}


class ListOf:
    """A list of values; with `or_one` a single value stands for a list of one."""

    def __init__(self, item: Value, *, or_one: bool = False) -> None:
        self.item, self.or_one = item, or_one

    @property
    def what(self) -> str:
        """What is wanted."""
        return (
            f"a list, each item {self.item.what}"
            if not self.or_one
            else f"{self.item.what}, or a list of such"
        )

    def read(self, node: Node, path: Path, reading: Reading) -> Any:
        """A tuple, or BAD."""
        if type(node) is Sequence:
            items = node.items
        elif self.or_one:
            items = [node]
        else:
            return wrong_shape(node, self.what, reading)
        values = []
        for number, item in enumerate(items):
            at = (*path, number)
            reading.places[at] = reading.document.place(item)
            values.append(self.item.read(item, at, reading))
        return BAD if any(value is BAD for value in values) else tuple(values)

    def schema(self, shared: dict[str, Schema]) -> Schema:
        """An array, or the item alone."""
        item = self.item.schema(shared)
        array = {"type": "array", "items": item}
        return {"anyOf": [item, array]} if self.or_one else array


class ByShape:
    """One reader for a single value, another for a list or a mapping."""

    def __init__(
        self, what: str, *, single: Value | None = None, many: Value | None = None, keys: Value | None = None
    ) -> None:
        self.what = what
        self._readers: dict[type, Value] = {
            shape: value
            for shape, value in ((Scalar, single), (Sequence, many), (Mapping, keys))
            if value is not None
        }

    def read(self, node: Node, path: Path, reading: Reading) -> Any:
        """What the reader of that shape says."""
        reader = self._readers.get(type(node))
        return wrong_shape(node, self.what, reading) if reader is None else reader.read(node, path, reading)

    def reader_of(self, value: object) -> Value:
        """The reader for a plain value: a mapping, a list, or else a single one."""
        shape = (
            Mapping
            if isinstance(value, MappingOf)
            else Sequence
            if isinstance(value, list | tuple)
            else Scalar
        )
        return self._readers[shape]

    def schema(self, shared: dict[str, Schema]) -> Schema:
        """Any of them."""
        return {"anyOf": [reader.schema(shared) for reader in self._readers.values()]}


class Then:
    """What another reader says, put into the form that a record wants."""

    def __init__(self, value: Value, into: Callable[[Any], Any]) -> None:
        self.value, self.into = value, into

    @property
    def what(self) -> str:
        """What the other wants."""
        return self.value.what

    def read(self, node: Node, path: Path, reading: Reading) -> Any:
        """The other's answer in another form."""
        got = self.value.read(node, path, reading)
        return BAD if got is BAD else self.into(got)

    def schema(self, shared: dict[str, Schema]) -> Schema:
        """The other's."""
        return self.value.schema(shared)


class Free:
    """Free text, or lists and mappings of it, kept as written."""

    what = "text"

    def read(self, node: Node, path: Path, reading: Reading) -> Any:
        """Texts, lists and mappings; never interpreted."""
        del path, reading
        return BAD if isinstance(node, Faulty) else plain(node)

    def schema(self, shared: dict[str, Schema]) -> Schema:
        """Anything."""
        del shared
        return {}


def plain(node: Node) -> Any:
    """A node as texts, lists and mappings. Depth is bounded by the nodes."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Mapping):
        return {key.text: plain(value) for key, value in node.items}
    return [plain(item) for item in node.items] if isinstance(node, Sequence) else None


def wrong_shape(node: Node, wanted: str, reading: Reading) -> _Bad:
    """Note that a node has not the shape that is wanted; a faulty one was told already."""
    if isinstance(node, Faulty):
        return BAD
    if isinstance(node, Scalar):
        what, mend = f"`{shortened(node.text)}` is a single value", "write what is wanted there"
    elif isinstance(node, Mapping):
        key = node.items[0][0].text if node.items else ""
        what = f"a mapping that begins with `{shortened(key)}:`" if key else "an empty mapping"
        mend = "put a text that holds `: ` into double quotes"
    else:
        what, mend = "a list", "write one value without brackets and dashes"
    return reading.fault(node, "wrong-shape", what, wanted, mend)


def shortened(text: str) -> str:
    """A text as it is shown in a message."""
    line = " ".join(text.split())
    return line if len(line) <= 60 else line[:59] + "…"


def named(path: Path, title: str) -> str:
    """How a message calls the mapping at a path."""
    words = ".".join(str(step) for step in path)
    return f"`{words}`" if words else title


def read_table(data: bytes, file: str, table: Table, **given: Any) -> Read[Any]:
    """Read a file that is one mapping; `given` are fields that its text does not hold."""
    return read_value(
        data, file, table, lambda record, places: structs.replace(record, places=places, **given)
    )


def read_value(
    data: bytes, file: str, value: Value, finish: Callable[[Any, dict[Path, Place]], Any]
) -> Read[Any]:
    """Read a file; `finish` puts what was read and the places of its keys together."""
    document = parse(data, file)
    reading = Reading(document)
    if document.root is None:
        if not document.problems:
            reading.fault_at(document.point(1, 1), "empty-file", "the file is empty", value.what, "write it")
        return reading.result(BAD)
    got = value.read(document.root, (), reading)
    return reading.result(got if got is BAD else finish(got, reading.places))
