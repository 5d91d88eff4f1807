"""Measure, bout and snag: one line appended, read back, committed; nothing refused that can be kept truthfully."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import date as Date  # noqa: N812
from datetime import timedelta
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from lineage.archive.append import Appended, append_line
from lineage.archive.commits import commit_day
from lineage.archive.ids import entry_id
from lineage.archive.kept import Kept, keep
from lineage.problems import AskedWrongly, BadInput, LineageError, Problem, nearest
from lineage.spec.bout_file import counted_bouts, read_bouts
from lineage.spec.lines import bout_line, result_line
from lineage.spec.records import BuildRef, Event
from lineage.spec.result_file import read_results
from lineage.tasks.events import event_among
from lineage.tasks.unmatched import Unmatched, unmatched_choices, unmatched_in_result
from lineage.tasks.workspace import Workspace, stem

DAYS_AFTER = 7  # an event is taken to be meant for a week after it


class Asked(Struct, frozen=True, kw_only=True):
    """What all three have in common."""

    on: Date | None = None
    build: str | None = None
    event: str | None = None
    note: str | None = None
    instead_of: str | None = None
    withdraw: str | None = None
    again: bool = False
    dry_run: bool = False
    commit: bool = True


class Logged(Struct, frozen=True, kw_only=True):
    """What became of an entry: the line, where, its commit, and what else to say about it."""

    path: str
    line: str
    id: str
    commit: str | None
    said: tuple[str, ...]
    written: bool


class Log:
    """Appends entries to the logs of one workspace."""

    def __init__(self, workspace: Workspace, asked: Asked) -> None:
        self.workspace, self.asked = workspace, asked
        self.today = asked.on or commit_day()
        self.said: list[str] = []
        self._held: list[str] | None = None

    @contextmanager
    def together(self) -> Iterator[None]:
        """Entries appended within are committed as one."""
        self._held = []
        yield

    def committed(self, last: Logged) -> Logged:
        """Commits what was held together; the last entry, with the commit that holds them all."""
        held = list(dict.fromkeys(self._held or []))
        if not held:
            return last
        kept = keep(self.workspace.root, held, _message_for(held), commit=self.asked.commit)
        said = (*last.said, kept.said) if kept.said else last.said
        return replace(last, commit=kept.commit, said=said)

    # --- results -----------------------------------------------------------------------------------------

    def result(self, design: str, keys: Mapping[str, Any]) -> Logged:
        """One entry of results/DESIGN.yaml."""
        name = self.workspace.named(design)
        path = f"results/{name}.yaml"
        if self.asked.withdraw is not None:
            return self._withdrawal(path, result_line, lambda line: self._check_result(line, path, name))
        entry: dict[str, Any] = {"on": str(self.today), "kind": keys["kind"]}
        event = self._event_of_result(name)
        label = self._build(name, event)
        if label is not None:
            entry["build"] = label
        entry |= {key: value for key, value in keys.items() if key != "kind" and value is not None}
        if event is not None:
            entry["event"] = event.name
        self._say_unmatched_names(path, name, label, entry)
        return self._append(path, entry, result_line, lambda line: self._check_result(line, path, name))

    def _say_unmatched_names(
        self, path: str, design: str, label: str | None, entry: Mapping[str, Any]
    ) -> None:
        """Offers the nearest known name for things, fits and scales that nobody has heard of."""
        drafts = read_results(result_line(entry).encode() + b"\n", path, design).entries
        if label is None:
            return
        try:
            for result in drafts:
                self._say_all(unmatched_in_result(self.workspace, BuildRef(design, label), result))
        except LineageError:
            return  # what cannot be read keeps no entry from being kept

    def _say_all(self, unmatched: Iterable[Unmatched]) -> None:
        self.said += (
            f"unmatched: {name.what}" + (f"; {name.mend}" if name.mend else "") for name in unmatched
        )

    def _check_result(self, line: bytes, path: str, design: str) -> None:
        _raise_errors(read_results(line + b"\n", path, design).problems)

    def _event_of_result(self, design: str) -> Event | None:
        if self.asked.event is not None:
            return event_among(self.events, self.asked.event)
        on_now = [e for e in self.events.values() if e.first_day <= self.today <= e.last_day]
        entered = [e for e in on_now if design in e.entries]
        chosen = (entered or on_now)[:1]
        if chosen:
            self.said.append(f"at {chosen[0].title} ({chosen[0].name})")
        return chosen[0] if chosen else None

    # --- bouts -------------------------------------------------------------------------------------------

    def bout(self, robot: str, keys: Mapping[str, Any]) -> Logged:
        """One entry of bouts/EVENT.yaml."""
        name = self.workspace.named(robot)
        event_name, event = self._event_of_bout(name)
        path = f"bouts/{event_name}.yaml"

        def check(line: bytes) -> None:
            _raise_errors(read_bouts(line + b"\n", path, event_name).problems)

        if self.asked.withdraw is not None:
            return self._withdrawal(path, bout_line, check)
        earlier = self._earlier(path, event_name, name)
        entry: dict[str, Any] = {"robot": name, "bout": keys.get("bout") or self._next_number(earlier)}
        label = self._build(name, event)
        if label is not None:
            entry["build"] = label
        given = {key: value for key, value in keys.items() if key != "bout" and value not in (None, [], {})}
        fitted = {**self._standing_choices(earlier, event, name), **given.pop("fitted", {})}
        entry |= given
        if fitted:
            entry["fitted"] = fitted
            self.said.append("with " + ", ".join(f"{option} {choice}" for option, choice in fitted.items()))
        self._say_unmatched(name, label, fitted, given)
        return self._append(path, entry, bout_line, check)

    def _event_of_bout(self, robot: str) -> tuple[str, Event | None]:
        if self.asked.event is not None:
            event = event_among(self.events, self.asked.event)
            return event.name, event
        recent = [
            e for e in self.events.values()
            if e.first_day <= self.today <= e.last_day + timedelta(days=DAYS_AFTER)
        ]  # fmt: skip
        entered = [e for e in recent if robot in e.entries]
        if entered or recent:
            event = (entered or recent)[-1]
            self.said.append(f"at {event.title} ({event.name})")
            return event.name, event
        name = f"{self.today}-unnamed"
        self.said.append(
            f"no event is on: kept under bouts/{name}.yaml. Write events/{name}.yaml with: event: its title"
        )
        return name, self.events.get(name)

    def _earlier(self, path: str, event: str, robot: str) -> list[tuple[Any, str]]:
        try:
            bouts = counted_bouts(read_bouts(self._bytes(path), path, event).entries).entries
        except LineageError:
            return []
        return [(bout, bout.bout or "") for bout in bouts if bout.robot == robot]

    def _next_number(self, earlier: Sequence[tuple[Any, str]]) -> str:
        if self.asked.instead_of == "last" and earlier:
            return earlier[-1][1]
        return str(max((int(number) for _, number in earlier if number.isdigit()), default=0) + 1)

    def _standing_choices(
        self, earlier: Sequence[tuple[Any, str]], event: Event | None, robot: str
    ) -> dict[str, str]:
        """The choices of the robot's last bout at the event stand until said otherwise."""
        if earlier:
            return dict(earlier[-1][0].fitted)
        entry = event.entries.get(robot) if event is not None else None
        return dict(entry.fitted) if entry is not None else {}

    def _say_unmatched(
        self, robot: str, label: str | None, fitted: Mapping[str, str], keys: Mapping[str, Any]
    ) -> None:
        """Offers the nearest known place for damage at a place that nobody has heard of."""
        damages = [*keys.get("broke", []), *keys.get("found", [])]
        if label is None:
            return
        try:
            self._say_all(unmatched_choices(self.workspace, BuildRef(robot, label), fitted))
            assembly = self.workspace.assembly(BuildRef(robot, label), fitted)
        except LineageError:
            return
        for damage in damages:
            if not assembly.resolve(damage["at"]):
                near = nearest(damage["at"], assembly.things)
                offer = f"; did you mean {near}?" if near else ""
                self.said.append(f"unmatched: {robot} has nothing called {damage['at']!r}{offer}")

    # --- what they share ---------------------------------------------------------------------------------

    @property
    def events(self) -> Mapping[str, Event]:
        """Events that can be read; one that cannot does not keep a bout from being kept."""
        try:
            return self.workspace.events
        except BadInput:
            self.said.append("an event file cannot be read: see `lineage check`")
            return {}

    def _build(self, design: str, event: Event | None) -> str | None:
        """As given, else the event entry's, else the latest dated on or before that day."""
        if self.asked.build is not None:
            return self.asked.build
        entry = event.entries.get(design) if event is not None else None
        if entry is not None and entry.build is not None:
            return entry.build
        try:
            labels = self.workspace.labels(design)
            dated = [(name, self.workspace.record_of(BuildRef(design, name)).on) for name in labels]
        except LineageError:
            self.said.append(f"the builds of {design} cannot be read: kept without one; see `lineage check`")
            return None
        if not dated:
            self.said.append(f"{design} has no build yet; record it with: lineage record {design} A")
            return None
        before = [name for name, on in dated if on <= self.today]
        return before[-1] if before else dated[0][0]

    def _withdrawal(
        self, path: str, line_of: Callable[[Mapping[str, Any]], str], check: Callable[[bytes], None]
    ) -> Logged:
        entry = {"instead_of": self._id(path, self.asked.withdraw or ""), "withdrawn": "yes"}
        return self._write(path, entry, line_of, check)

    def _append(
        self,
        path: str,
        entry: dict[str, Any],
        line_of: Callable[[Mapping[str, Any]], str],
        check: Callable[[bytes], None],
    ) -> Logged:
        if self.asked.note is not None:
            entry["note"] = self.asked.note
        if self.asked.instead_of is not None:
            entry["instead_of"] = self._id(path, self.asked.instead_of)
        return self._write(path, entry, line_of, check)

    def _write(
        self,
        path: str,
        entry: Mapping[str, Any],
        line_of: Callable[[Mapping[str, Any]], str],
        check: Callable[[bytes], None],
    ) -> Logged:
        def line_for(number: int | None) -> str:
            return line_of(entry if number is None else {**entry, "no": number})

        line = line_for(None)
        check(line.encode())
        if self.asked.dry_run:
            return self._logged(path, line, entry_id(line.encode()), None, written=False)
        appended: Appended = append_line(
            self.workspace.root, path, line_for, again=self.asked.again, check=check
        )
        if not appended.written:
            raise AskedWrongly(
                f"{path} has just this line already",
                "an entry that is not there yet",
                "with --again it is kept twice",
            )
        if self._held is not None:
            self._held.append(path)
            return self._logged(path, appended.line, appended.id, None, written=True)
        kept: Kept = keep(self.workspace.root, [path], _message(path, entry), commit=self.asked.commit)
        if kept.said:
            self.said.append(kept.said)
        return self._logged(path, appended.line, appended.id, kept.commit, written=True)

    def _logged(self, path: str, line: str, id_: str, commit: str | None, *, written: bool) -> Logged:
        return Logged(path=path, line=line, id=id_, commit=commit, said=tuple(self.said), written=written)

    def _bytes(self, path: str) -> bytes:
        return self.workspace.tree.read(path) or b""

    def _id(self, path: str, given: str) -> str:
        """The ID of an entry that is there; `last` is that of the last line."""
        lines = [line.rstrip(b"\r") for line in self._bytes(path).split(b"\n") if line.startswith(b"- ")]
        ids = [entry_id(line) for line in lines]
        if given == "last" and ids:
            return ids[-1]
        alike = [id_ for id_ in ids if id_.startswith(given)] if len(given) >= 4 else []
        if len(set(alike)) == 1:
            return alike[0]
        raise AskedWrongly(f"{path} has no entry {given!r}", "the ID of one of its lines, or `last`")


def _message(path: str, entry: Mapping[str, Any]) -> str:
    """The subject of the commit: what was logged."""
    name = stem(path)
    if "withdrawn" in entry:
        return f"Withdraw an entry of {name}"
    if path.startswith("bouts/"):
        return f"Log bout {entry['bout']} of {entry['robot']} at {name}"
    what = entry["kind"]
    about = entry.get("of") or entry.get("at") or ""
    return f"Log {what} of {name}{f' {about}' if isinstance(about, str) and about else ''}"


def _message_for(paths: Sequence[str]) -> str:
    """The subject of a commit of many entries."""
    what = "bouts at" if paths[0].startswith("bouts/") else "results of"
    return f"Log {what} {', '.join(stem(path) for path in paths)}"


def _raise_errors(problems: Sequence[Problem]) -> None:
    """Faults of an entry that is not in its file yet are placed in what was typed, as the line would be."""
    errors = [problem for problem in problems if problem.level == "error"]
    if errors:
        raise BadInput([replace(e, place=replace(e.place, file="the entry as typed")) for e in errors])
