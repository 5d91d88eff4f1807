"""Which robots moved a module from one of its builds to another: where, and over which of their steps."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from functools import cached_property

from msgspec import Struct

from lineage.changes.pairing import own_things
from lineage.problems import LineageError
from lineage.spec.assembly import join
from lineage.spec.records import BuildRef, Use
from lineage.tasks.steps import ChangedStep, Steps, with_head


class Move(Struct, frozen=True):
    """A place that went from one build of its module to another, from the step `first` of its robot to `last`.

    Several steps where it went by builds between; the place goes by its name in the robot's last build.
    """

    place: str
    first: int
    last: int


class Moves:
    """Moves of every module at every place, those in other modules and in choices among them."""

    def __init__(self, steps: Steps) -> None:
        self.steps, self.workspace = steps, steps.workspace
        self._places: dict[BuildRef, Mapping[str, BuildRef]] = {}

    def of(self, before: BuildRef, after: BuildRef) -> Mapping[str, tuple[Move, ...]]:
        """Designs that went from exactly that build of a module to that one, in one step or more."""
        return self._known.get((before, after), {})

    def places_in(self, step: ChangedStep, before: BuildRef, after: BuildRef) -> list[str]:
        """Places of one step, recorded or not, that went from that build to that one."""
        return [place for place, was, now in self._moved(step) if (was, now) == (before, after)]

    @cached_property
    def _known(self) -> Mapping[tuple[BuildRef, BuildRef], Mapping[str, tuple[Move, ...]]]:
        found: dict[tuple[BuildRef, BuildRef], dict[str, list[Move]]] = defaultdict(dict)
        for design in self.workspace.designs:
            for key, move in self._of_design(design):
                found[key].setdefault(design, []).append(move)
        return {
            key: {design: tuple(moves) for design, moves in by_design.items()}
            for key, by_design in found.items()
        }

    def _of_design(self, design: str) -> Iterator[tuple[tuple[BuildRef, BuildRef], Move]]:
        """Every move of a design's places, and those that they make up together."""
        ways: dict[str, list[tuple[BuildRef, int]]] = {}  # place → builds that it came by, with their steps
        at: dict[str, BuildRef] = {}
        for number, step in enumerate(self.steps.of(design)):
            for place, before, after in self._moved(step):
                if at.get(place) != before:
                    ways[place] = []
                way = [(old, first) for old, first in ways[place] if old not in {before, after}]
                way.append((before, number))
                ways[place], at[place] = way, after
                for old, first in way:
                    yield (old, after), Move(place, first, number)

    def _moved(self, step: ChangedStep) -> Iterator[tuple[str, BuildRef, BuildRef]]:
        """Places of a step whose module is of another build of the same design."""
        is_recorded = step.after in self.workspace.labels(step.design)
        then = self._lasting(step.design, step.before, None if is_recorded else step.renames)
        for place, now in self._lasting(step.design, step.after).items():
            was = then.get(place)
            if was is not None and was != now and was.design == now.design:
                yield place, was, now

    def _lasting(
        self, design: str, label: str, names: Mapping[str, str] | None = None
    ) -> Mapping[str, BuildRef]:
        """Places of a build under their names in the design's last build, or those that are given."""
        names = self.steps.last_names(design, label) if names is None else names
        return {with_head(place, names): use for place, use in self.places(BuildRef(design, label)).items()}

    def places(self, ref: BuildRef) -> Mapping[str, BuildRef]:
        """Every place of a build, at every depth and in every choice, with the module build in it."""
        if ref not in self._places:
            self._places[ref] = {}  # a ring ends here; it is told by `check`
            self._places[ref] = dict(self._read(ref))
        return self._places[ref]

    def _read(self, ref: BuildRef) -> Iterator[tuple[str, BuildRef]]:
        try:
            things = own_things(self.workspace.spec(ref).design)
        except LineageError:
            return  # a build that cannot be read is told by `check`
        for name, thing in things.items():
            if isinstance(thing, Use):
                yield name, thing.use
                yield from ((join(name, place), use) for place, use in self.places(thing.use).items())
