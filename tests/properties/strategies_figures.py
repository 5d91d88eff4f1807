"""Random small robots to take apart."""

from typing import Any

from hypothesis import strategies as st

from lineage.spec.records import Design, FastenerGroup, Part, Way
from tests.hand_built import mm, part, robot, screws, way

TYPES = ("M3x10 cap", "M3x6 cap", "M5x16 cap", "rivet of our own")
JOINED = (None, "plugged", "clipped")


@st.composite
def parts_behind(draw: st.DrawFn, names: tuple[str, ...], number: int) -> Part:
    """A part behind a few others, mostly later ones, so that rings are there but do not rule."""
    others = names[number + 1 :] if draw(st.integers(0, 5)) else names[:number]
    behind = draw(st.lists(st.sampled_from(others), max_size=2, unique=True)) if others else []
    return part(*behind, joined=draw(st.sampled_from(JOINED)))


@st.composite
def groups_among(draw: st.DrawFn, names: tuple[str, ...], types: tuple[str, ...] = TYPES) -> FastenerGroup:
    """A fastener group that holds one thing, goes into up to two, and is seldom behind one."""
    behind = (draw(st.sampled_from(names)),) if draw(st.integers(0, 6)) == 0 else ()
    engaged = {"grip": mm(4), "depth": mm(3)} if draw(st.booleans()) else {}
    return screws(
        draw(st.sampled_from(types)),
        draw(st.integers(1, 4)),
        draw(st.sampled_from(names)),
        *draw(st.lists(st.sampled_from(names), max_size=2, unique=True)),
        behind=behind,
        **engaged,
    )


@st.composite
def ways_among(draw: st.DrawFn, names: tuple[str, ...], groups: tuple[str, ...]) -> Way:
    """A way past up to two things, with some groups or a thing undone."""
    undo = draw(st.lists(st.sampled_from(groups), max_size=2, unique=True)) if groups else []
    undo += [draw(st.sampled_from(names))] if draw(st.integers(0, 4)) == 0 else []
    return way(
        *draw(st.lists(st.sampled_from(names), max_size=2, unique=True)),
        undo=tuple(undo),
        tools=draw(st.sampled_from(((), (), ("a hook",), ("2.5 mm hex key",)))),
    )


@st.composite
def robots_to_take_apart(draw: st.DrawFn, most: int = 10) -> Design:
    """A robot of up to `most` things, half of whose parts may have several ways in."""
    number_of_groups = draw(st.integers(0, 4))
    names = tuple(f"p{n}" for n in range(draw(st.integers(1, most - number_of_groups))))
    groups = tuple(f"s{n}" for n in range(number_of_groups))
    access: dict[str, Any] = {}
    for name in draw(st.lists(st.sampled_from(names), max_size=4, unique=True)):
        access[name] = tuple(draw(st.lists(ways_among(names, groups), min_size=1, max_size=3)))
    return robot(
        parts={name: draw(parts_behind(names, number)) for number, name in enumerate(names)},
        fasteners={name: draw(groups_among(names)) for name in groups},
        access=access,
    )
