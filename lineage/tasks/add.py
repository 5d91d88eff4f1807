"""The next design, event or lesson: one new file, nothing else touched."""

import re

from msgspec import Struct

from lineage.archive.keep import write_new
from lineage.problems import AskedWrongly
from lineage.spec.lines import quoted
from lineage.spec.names import design_name, event_name, lesson_name
from lineage.tasks.parts_list import design_from_parts
from lineage.tasks.start import starter
from lineage.tasks.workspace import Workspace


class Added(Struct, frozen=True, kw_only=True):
    """The file that was written, and what it holds."""

    path: str
    content: str
    said: tuple[str, ...] = ()


def add_design(
    workspace: Workspace,
    kind: str,
    name: str,
    *,
    like: str | None = None,
    parts: bytes | None = None,
    parts_file: str = "",
    dry_run: bool = False,
) -> Added:
    """robots/NAME.yaml or modules/NAME.yaml: a starter, a copy of another's working file, or a parts list."""
    name = design_name(name)
    if name in workspace.designs:
        raise AskedWrongly(f"there is a design {name} already", "a name that is free", "")
    said: list[str] = []
    if like is not None:
        content = _like(workspace, kind, name, workspace.named(like), said)
    elif parts is not None:
        content = design_from_parts(kind, name, parts, parts_file)
    else:
        content = starter(f"{kind}.yaml").replace("NAME", name)
    return _written(workspace, f"{kind}s/{name}.yaml", content, tuple(said), dry_run=dry_run)


def add_event(workspace: Workspace, name: str, title: str | None, *, dry_run: bool = False) -> Added:
    """events/EVENT.yaml."""
    name = event_name(name)
    words = title or name[11:].replace("-", " ").capitalize()
    content = starter("event.yaml").replace("TITLE", quoted(words))
    return _written(workspace, f"events/{name}.yaml", content, dry_run=dry_run)


def add_lesson(workspace: Workspace, name: str, text: str, *, dry_run: bool = False) -> Added:
    """lessons/NAME.yaml."""
    content = starter("lesson.yaml").replace("TITLE", quoted(text))
    return _written(workspace, f"lessons/{lesson_name(name)}.yaml", content, dry_run=dry_run)


def _written(
    workspace: Workspace, path: str, content: str, said: tuple[str, ...] = (), *, dry_run: bool
) -> Added:
    if workspace.tree.read(path) is not None:
        raise AskedWrongly(f"{path} is there already", "a name that is free", f"edit it: {path}")
    if not dry_run:
        write_new(workspace.root, path, content.encode())
    return Added(path=path, content=content, said=said)


def _like(workspace: Workspace, kind: str, name: str, like: str, said: list[str]) -> str:
    """A copy of a design's working file under another name, that says what it grew out of."""
    path = workspace.designs[like]
    if not path or workspace.kind(like) != kind:
        raise AskedWrongly(f"{like} is no {kind} with a working file", f"a {kind}", "")
    text = (workspace.tree.read(path) or b"").decode()
    text = re.sub(rf"(?m)^{kind}:.*$", f"{kind}: {name}", text, count=1)
    text = re.sub(r"(?m)^from:.*\n?", "", text, count=1)
    last = workspace.last(like)
    if last is not None:
        text = re.sub(rf"(?m)^{kind}: {name}$", f"{kind}: {name}\nfrom: {last}", text, count=1)
    said.append(f"its drawings are still those of {like}; copy a plate before you change it")
    return text
