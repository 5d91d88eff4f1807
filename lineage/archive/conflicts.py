"""Two branches recorded different builds under one label: how to keep both.

The merge has stopped in the files of one folder. What is printed keeps ours under the label, and writes theirs,
read from the unmerged index, under a label that is free; nothing is done here.
"""

import shlex
from collections.abc import Iterable, Sequence
from string import ascii_uppercase

from msgspec import Struct

from lineage.archive.builds import BUILDS, build_folder
from lineage.archive.git import GitFailed, Repository
from lineage.archive.ids import entry_id
from lineage.archive.revisions import (
    IndexEntry,
    Listed,
    index_entries,
    list_tree,
    read_blobs,
    resolve_revision,
)
from lineage.problems import Place, Problem
from lineage.spec import names
from lineage.spec.build_file import read_build
from lineage.spec.names import BadName

OURS, THEIRS = 2, 3
_RECORD = "build.yaml"


class Mention(Struct, frozen=True):
    """A line of theirs that names the build: `id` is the entry's where it is one of a log."""

    path: str
    line: str
    id: str | None = None


class LabelConflict(Struct, frozen=True, kw_only=True):
    """One label, two builds: what to type, and what of theirs names the build and has to follow."""

    design: str
    label: str
    free: str
    same: bool
    commands: tuple[str, ...]
    edits: tuple[Mention, ...] = ()
    corrections: tuple[Mention, ...] = ()
    recorded: tuple[str, ...] = ()

    @property
    def problem(self) -> Problem:
        """The conflict as `check` says it."""
        name = f"{self.design}@{self.label}"
        lines = [*self.commands, *self._follow(name)]
        return Problem(
            place=Place(f"{build_folder(self.design, self.label)}/{_RECORD}", 1, 1),
            code="label-twice",
            what=f"two branches recorded {'the same build' if self.same else 'different builds'} as {name}",
            wanted="one build a label"
            if self.same
            else f"ours as {name}, theirs as {self.design}@{self.free}",
            mend="\n".join(lines),
        )

    def _follow(self, name: str) -> Iterable[str]:
        to = f"{self.design}@{self.free}"
        for mention in self.edits:
            edit = f"where {_shown(mention.path)} means theirs, change {name} to {to}"
            yield f"# {edit}: {_shown(mention.line.strip())}"
        for mention in self.corrections:
            correction = f"say build {self.free} with --instead-of {mention.id}"
            yield f"# {_shown(mention.path)}: {correction}: {_shown(mention.line)}"
        for build in self.recorded:
            yield f"# {_shown(build)} was recorded with theirs as {name}: record it again once it uses {to}"


def label_conflicts(repository: Repository) -> tuple[LabelConflict, ...]:
    """Every build that a merge has stopped at."""
    entries = index_entries(repository, (BUILDS,))
    folders = dict.fromkeys(
        tuple(entry.path.split("/")[1:3])
        for entry in entries
        if entry.stage == THEIRS and entry.path.count("/") == 3 and entry.path.split("/")[2] != "drawings"
    )
    return tuple(
        _conflict(repository, entries, design, label) for design, label in folders if _is_sound(design, label)
    )


def _is_sound(design: str, label: str) -> bool:
    """Whether names can go into commands that somebody copies: they come from a stranger's index."""
    try:
        names.design_name(design)
        names.build_label(label)
    except BadName:
        return False
    return True


def _shown(text: str) -> str:
    """A stranger's line, with nothing in it that a terminal obeys."""
    return "".join(character if character.isprintable() else "?" for character in text)


def _conflict(
    repository: Repository, entries: Sequence[IndexEntry], design: str, label: str
) -> LabelConflict:
    folder = build_folder(design, label)
    within = [entry for entry in entries if entry.path.startswith(f"{folder}/")]
    theirs = {entry.path: entry for entry in within if entry.stage in {0, THEIRS}}
    ours = {entry.path: entry for entry in within if entry.stage in {0, OURS}}
    unmerged = sorted({entry.path for entry in within if entry.stage})
    keep = _keep_ours(unmerged, ours)
    id_of_theirs = _build_id(repository, theirs.get(f"{folder}/{_RECORD}"))
    same = id_of_theirs is not None and id_of_theirs == _build_id(repository, ours.get(f"{folder}/{_RECORD}"))
    if same:
        return LabelConflict(design=design, label=label, free=label, same=True, commands=keep)
    free = _free_label(label, {entry.path.split("/")[2] for entry in entries if _is_of(entry, design)})
    edits, corrections, recorded = _mentions(repository, design, label, id_of_theirs)
    return LabelConflict(
        design=design,
        label=label,
        free=free,
        same=False,
        commands=(*_write_theirs(theirs.values(), build_folder(design, free), free), *keep),
        edits=edits,
        corrections=corrections,
        recorded=recorded,
    )


def _is_of(entry: IndexEntry, design: str) -> bool:
    return entry.path.startswith(f"{BUILDS}/{design}/")


def _build_id(repository: Repository, entry: IndexEntry | None) -> str | None:
    if entry is None:
        return None
    data = read_blobs(repository, [Listed(entry.mode, entry.blob, 0)])[entry.blob]
    record = read_build(data, entry.path).record
    return None if record is None else record.id


def _free_label(label: str, labels: Iterable[str]) -> str:
    """The next letter that is free, else the label with a number behind."""
    taken = {other.casefold() for other in labels}
    letters = ascii_uppercase[ascii_uppercase.find(label) + 1 :] if label in ascii_uppercase else ""
    numbered = (f"{label[:17].rstrip('.-')}-{number}" for number in range(2, 100))
    proposals: list[str] = [*letters, *numbered]
    return next(free for free in proposals if free.casefold() not in taken)


def _keep_ours(unmerged: Sequence[str], ours: Iterable[str]) -> tuple[str, ...]:
    kept = [path for path in unmerged if path in set(ours)]
    lost = [path for path in unmerged if path not in set(ours)]
    commands = []
    if kept:
        commands += [f"git checkout --ours -- {shlex.join(kept)}", f"git add -- {shlex.join(kept)}"]
    if lost:
        commands.append(f"git rm --quiet -- {shlex.join(lost)}")
    return tuple(commands)


def _write_theirs(theirs: Iterable[IndexEntry], folder: str, label: str) -> tuple[str, ...]:
    """Blobs are named by their ids, so that the commands work in any order, before and after `git add`."""
    commands = [f"mkdir -p {folder}"]
    for entry in theirs:
        name = entry.path.rpartition("/")[2]
        relabel = f" | sed 's/^label: .*/label: \"{label}\"/'" if name == _RECORD else ""
        commands.append(f"git cat-file blob {entry.blob}{relabel} > {shlex.quote(f'{folder}/{name}')}")
    return (*commands, f"git add -- {folder}")


# --- what of theirs names the build ----------------------------------------------------------------------


def _mentions(
    repository: Repository, design: str, label: str, id_of_theirs: str | None
) -> tuple[tuple[Mention, ...], tuple[Mention, ...], tuple[str, ...]]:
    """Lines to edit, entries to correct, and builds to record again: what theirs has and ours has not."""
    ours, theirs = _new_lines(repository)
    name = f"{design}@{label}"
    edits: list[Mention] = []
    corrections: list[Mention] = []
    recorded: list[str] = []
    for path, lines in theirs.items():
        new = [line for line in lines if line not in ours.get(path, ())]
        top = path.partition("/")[0]
        if top in {"robots", "modules", "lessons"}:
            edits += [Mention(path, line) for line in new if name in _words(line)]
        elif path == f"results/{design}.yaml" or top == "bouts":
            named = (line for line in new if _names_build(line, label, design, in_bouts=top == "bouts"))
            corrections += [Mention(path, line, entry_id(line.encode())) for line in named]
        elif path.endswith(f"/{_RECORD}") and f"{name}: {id_of_theirs}" in (line.strip() for line in lines):
            recorded.append(path.removesuffix(f"/{_RECORD}"))
    return tuple(edits), tuple(corrections), tuple(recorded)


def _words(line: str) -> list[str]:
    return "".join(c if c.isalnum() or c in "-.@" else " " for c in line).split()


def _names_build(line: str, label: str, design: str, *, in_bouts: bool) -> bool:
    plain = f"{line.replace(chr(34), '').rstrip('}')},"
    return f" build: {label}," in plain and (not in_bouts or f"robot: {design}," in plain)


def _new_lines(repository: Repository) -> tuple[dict[str, list[str]], dict[str, list[str]]]:
    """Lines of ours and of theirs, by path, of the files that may name a build."""
    other = _other_side(repository)
    if other is None:
        return {}, {}
    sides = [list_tree(repository, commit) for commit in (resolve_revision(repository, "HEAD"), other)]
    changed = {path for path in sides[1] if sides[0].get(path) != sides[1][path] and path.endswith(".yaml")}
    found = []
    for side in sides:
        listed = {path: side[path] for path in sorted(changed) if path in side}
        blobs = read_blobs(repository, listed.values())
        found.append(
            {path: blobs[e.blob].decode(errors="replace").splitlines() for path, e in listed.items()}
        )
    return found[0], found[1]


def _other_side(repository: Repository) -> str | None:
    for name in ("MERGE_HEAD", "CHERRY_PICK_HEAD", "REBASE_HEAD"):
        if (repository.folder / name).exists():
            try:
                return (
                    repository.run("rev-parse", "--verify", "--quiet", f"{name}^{{commit}}").decode().strip()
                )
            except GitFailed:
                return None
    return None
