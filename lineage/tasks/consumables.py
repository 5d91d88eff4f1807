"""What mending eats beside spare parts: screws by type, threadlock, glue, tape and solder."""

from collections.abc import Callable, Iterable, Iterator, Sequence

from lineage.evidence.bouts import RobotBout, same_mode
from lineage.reports.views.lessons import ConsumableView
from lineage.spec.assembly import Assembly, Thing

# how things are joined that want something new when they are put back; common practice, no source
_EATEN = ("glu", "epox", "tape", "solder", "cable tie", "zip tie", "shrink")


def consumables(assembly: Assembly, bouts: Sequence[RobotBout]) -> tuple[ConsumableView, ...]:
    """Screws by type, the most used first, then what is put on them, then what joins things that are not screwed.

    bouts: of the robot; only what `used` names of a group is known to be used, so that nothing is predicted here.
    """
    groups = list(assembly.groups)
    screws = [_screws(kind, of, bouts) for kind, of in _by(groups, lambda t: t.group.type)]
    screws.sort(key=lambda view: (-view.used, -(view.in_it or 0), view.what))
    locked = [_plain(f"threadlock, {what}", of) for what, of in _by(groups, lambda t: t.group.threadlock)]
    joined = [_plain(what, of) for what, of in _by(assembly.parts, _eaten)]
    return (*screws, *locked, *joined)


def _eaten(thing: Thing) -> str | None:
    joined = thing.part.joined
    return joined if joined is not None and any(word in same_mode(joined) for word in _EATEN) else None


def _by(things: Iterable[Thing], key: Callable[[Thing], str | None]) -> Iterator[tuple[str, list[Thing]]]:
    found: dict[str, tuple[str, list[Thing]]] = {}
    for thing in things:
        what = key(thing)
        if what is not None:
            found.setdefault(same_mode(what), (what, []))[1].append(thing)
    return iter(found.values())


def _screws(kind: str, of: Sequence[Thing], bouts: Sequence[RobotBout]) -> ConsumableView:
    refs = {thing.ref for thing in of}
    used = sum(
        n for bout in bouts for failure in bout.failures for ref, n in failure.used.items() if ref in refs
    )
    return ConsumableView(
        what=kind,
        in_it=sum(thing.group.count for thing in of),
        used=used,
        at=_at(of),
    )


def _plain(what: str, of: Sequence[Thing]) -> ConsumableView:
    return ConsumableView(what=what, in_it=None, used=0, at=_at(of))


def _at(of: Sequence[Thing]) -> tuple[str, ...]:
    """Own things by their name, what is in modules by module and name, however many places there are."""
    names = (f"{thing.spec.ref.design}.{thing.name}" if thing.place else thing.name for thing in of)
    return tuple(dict.fromkeys(names))
