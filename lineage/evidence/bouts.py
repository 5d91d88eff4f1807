"""Robot-bouts and what failed in them: the unit in which failures are counted."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date as Date  # noqa: N812 - `date` is a field

from msgspec import Struct

SEVERITIES = ("cosmetic", "weakened", "disabling")


class Failure(Struct, frozen=True, kw_only=True, gc=False):
    """One damage of one bout. `things` are the full references that it names, none where it names nothing.

    Cosmetic damage, and what was only found at strip-down, is listed and not counted.
    """

    at: str
    things: tuple[str, ...]
    mode: str
    severity: str
    was_found: bool = False
    took_s: float | None = None
    cost_bout: bool = False
    mended: str | None = None
    fix: str | None = None
    used: Mapping[str, int] = {}

    @property
    def counts(self) -> bool:
        """Whether it is a failure and not only listed."""
        return self.severity != "cosmetic" and not self.was_found


class RobotBout(Struct, frozen=True, kw_only=True, gc=False):  # in no ring, and made by thousands
    """One bout of one robot, with the build that was in it.

    `label` is None where no build is known; `is_certain` is false where the log cannot say which build it was.
    `fitted` is what the log says, `choices` what was in of every option; `against` the kind of opponent.
    """

    robot: str
    event: str
    day: Date
    bout: str | None
    label: str | None
    is_certain: bool
    was_fought: bool
    outcome: str | None
    ran_s: float | None
    fitted: Mapping[str, str] = {}
    choices: Mapping[str, str] = {}
    against: str | None = None
    failures: tuple[Failure, ...] = ()
    because: tuple[str, ...] = ()
    pit: tuple[str, ...] = ()

    @property
    def is_exposure(self) -> bool:
        """Whether things that were in it were put to the test, in a build that is known."""
        return self.was_fought and self.is_certain and self.label is not None


Owns = Callable[[Failure], bool]


def same_mode(mode: str) -> str:
    """A mode as modes are compared: without case, with single spaces."""
    return " ".join(mode.casefold().split())


def is_at(failure: Failure, refs: Iterable[str]) -> bool:
    """Whether a failure lies at one of these things or at anything in them."""
    return any(thing == ref or thing.startswith(f"{ref}.") for thing in failure.things for ref in refs)


def failed(bout: RobotBout, owns: Owns) -> bool:
    """Whether anything owned failed in a robot-bout."""
    return any(failure.counts and owns(failure) for failure in bout.failures)


class Tally(Struct, frozen=True, kw_only=True):
    """One place and mode over many robot-bouts; `failures` counts robot-bouts, `listed` all that name it."""

    at: str
    mode: str
    severity: str
    is_known: bool
    failures: int
    listed: int
    cost_s: float | None
    cost_bouts: int


def tallied(bouts: Sequence[RobotBout], *, found: bool = False) -> tuple[Tally, ...]:
    """What failed, one entry a place and mode: the most often first, then the dearest, then by name.

    With `found` what was found at strip-down instead. Seconds are the sum of those typed, None where none was.
    """
    groups: dict[tuple[str, str], list[tuple[int, Failure]]] = {}
    for number, bout in enumerate(bouts):
        for failure in bout.failures:
            if failure.was_found == found:
                groups.setdefault((failure.at, same_mode(failure.mode)), []).append((number, failure))
    tallies = [_tally(at, group) for (at, _), group in groups.items()]
    return tuple(sorted(tallies, key=lambda t: (-t.failures, -t.listed, -(t.cost_s or 0.0), t.at, t.mode)))


def _tally(at: str, group: Sequence[tuple[int, Failure]]) -> Tally:
    counted = {number for number, failure in group if failure.counts}
    times = [failure.took_s for _, failure in group if failure.took_s is not None]
    return Tally(
        at=at,
        mode=group[0][1].mode,
        severity=max((failure.severity for _, failure in group), key=SEVERITIES.index),
        is_known=any(failure.things for _, failure in group),
        failures=len(counted),
        listed=len({number for number, _ in group}),
        cost_s=sum(times) if times else None,
        cost_bouts=len({number for number, failure in group if failure.cost_bout}),
    )


def unmatched_bouts(bouts: Iterable[RobotBout]) -> int:
    """Robot-bouts with a counted failure at a place that nobody knows."""
    return sum(any(f.counts and not f.things for f in bout.failures) for bout in bouts)
