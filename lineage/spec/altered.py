"""A spec with some keys changed, as text: for asking what would be, without writing anything."""

from collections.abc import Iterator, Mapping

from lineage.spec.document import Faulty, Node, Scalar, Sequence
from lineage.spec.document import Mapping as MappingNode
from lineage.spec.lines import quoted
from lineage.spec.nodes import parse
from lineage.spec.records import Path


def with_changes(data: bytes, file: str, changes: Mapping[Path, str | None]) -> bytes:
    """A file with other values at some paths, None to leave a key out. Comments and layout are not kept.

    A value is YAML as it would stand in the file. A path is made where it is not there; what cannot be read stays
    as it is, for its reader to say.
    """
    document = parse(data, file)
    root = document.root
    if not isinstance(root, MappingNode):
        return data
    for path, value in changes.items():
        _set(root, path, value, file)
    return "".join(f"{line}\n" for line in _lines(root, 0)).encode()


_NOTHING = Scalar(text="", line=1, column=1, end_line=1, end_column=1)


def _set(node: MappingNode, path: Path, value: str | None, file: str) -> None:
    key = str(path[0])
    at = next((n for n, (name, _) in enumerate(node.items) if name.text == key), None)
    if len(path) == 1:
        kept = [] if value is None else [(_scalar(key), _parsed(value, file))]
        node.items[slice(at, at + 1) if at is not None else slice(len(node.items), None)] = kept
        return
    if at is None:
        node.items.append((_scalar(key), _NOTHING))
        at = -1
    inner = node.items[at][1]
    if not isinstance(inner, MappingNode):
        if value is None:
            return  # nothing to leave out
        inner = MappingNode(line=1, column=1, flow=False, items=[])
        node.items[at] = (node.items[at][0], inner)
    _set(inner, path[1:], value, file)


def _parsed(value: str, file: str) -> Node:
    """A value as YAML; one that is none is kept as the text that it is."""
    document = parse(f"value: {value}\n".encode(), file)
    root = document.root
    if document.problems or not isinstance(root, MappingNode) or len(root.items) != 1:
        return _scalar(value)
    return root.items[0][1]


def _scalar(text: str) -> Scalar:
    return Scalar(text=text, line=1, column=1, end_line=1, end_column=1)


def _lines(node: Node, depth: int) -> Iterator[str]:
    """A node in block form: what was plain stays plain, what was quoted stays quoted."""
    indent = "  " * depth
    if isinstance(node, MappingNode):
        for key, value in node.items:
            yield from _entry(f"{indent}{_text(key)}:", value, depth)
    elif isinstance(node, Sequence):
        for item in node.items:
            yield from _entry(f"{indent}-", item, depth)


def _entry(head: str, value: Node, depth: int) -> Iterator[str]:
    if isinstance(value, Scalar):
        yield f"{head} {_text(value)}"
    elif isinstance(value, Faulty) or not value.items:
        yield f"{head} {'[]' if isinstance(value, Sequence) else '{}'}"
    else:
        yield head
        yield from _lines(value, depth + 1)


def _text(scalar: Scalar) -> str:
    return scalar.text if scalar.plain and "\n" not in scalar.text else quoted(scalar.text)
