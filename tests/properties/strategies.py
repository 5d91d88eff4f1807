"""Random valid families, as plain data that is written as text and read as builders' files are, and small edits."""

import json
from collections.abc import Callable
from copy import deepcopy
from typing import Any

from hypothesis import strategies as st

from lineage.drawings.moments import Measures
from lineage.spec.assembly import Spec
from lineage.spec.records import BuildRef
from tests.in_memory import family_of, spec_of
from tests.weighing_bench import drawn

Plain = dict[str, Any]

OUTLINES = {"plates/a.dxf": "drawing a", "plates/b.dxf": "drawing b"}
MEASURES: dict[str, Measures] = {"drawing a": drawn(1234.5, 150.0), "drawing b": drawn(9876.0, 480.0)}
STOCKS: Plain = {
    "pc-3": {"material": "polycarbonate", "thickness": "3 mm ± 0.15 mm", "kerf": "0.1 mm"},
    "pom-6": {"material": "acetal", "thickness": "6 mm +0.3/-0", "price": "30 EUR", "sheet": "500 x 300 mm"},
    "own-2": {"material": "our-own", "thickness": "2 mm"},
    "foam": {"material": "foam", "areal": "900 g/m2 ± 50 g/m2"},
    "rod": {"material": "steel", "section": "6 ± 0.05 mm round", "bar": "1 m"},
    "strap": {"material": "nylon", "linear": "12 g/m"},
}
SHEETS, BARS = ("pc-3", "pom-6", "own-2", "foam"), ("rod", "strap")
FAMILY: Plain = {
    "family": "Waders",
    "classes": {"3lb": {"limit": "3 lb"}, "1lb": {"limit": "454 g", "reserve": "5 g"}},
    "materials": {"our-own": {"density": "1.3 g/cm3"}},
    "stock": {name: STOCKS[name] for name in ("pc-3", "rod")},
    "tolerances": {"laser": "± 0.1 mm"},
    "spread": {"guess": "20 %"},
}
NAMES = ("side", "lid", "battery", "motor", "shaft", "tine", "plug", "title", "size")
GROUPS, PLACES = ("lid-screws", "side-screws"), ("left", "right")


def written(plain: Plain) -> str:
    """Plain data as the text of a file; JSON is YAML."""
    kind = next(iter(plain))
    lines = [f"{kind}: {plain[kind]}"]
    lines += [
        f"{key}: {json.dumps(value, ensure_ascii=False)}" for key, value in plain.items() if key != kind
    ]
    return "\n".join(lines) + "\n"


def read(plain: Plain, label: str = "A", family: Plain = FAMILY) -> Spec:
    """Plain data as a spec, by the reader of builders' files."""
    return spec_of(written(plain), label, family=family_of(written(family)), drawings=OUTLINES)


# --- parts of a spec -------------------------------------------------------------------------------------

counts = st.integers(1, 5)
grams = st.decimals(1, 400, places=1).map(lambda number: f"{number} g")
masses = st.builds(
    lambda mass, how: f"{mass} {how}".rstrip(), grams, st.sampled_from(["", "weighed", "guess"])
)
lengths = st.integers(1, 300).map(lambda number: f"{number} mm")
free = st.recursive(
    st.one_of(st.sampled_from(["two passes", "", "no"]), st.integers(0, 9), st.booleans()),
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(st.sampled_from("abc"), inner, max_size=2),
    max_leaves=4,
).filter(lambda value: value not in ("", [], {}))


def _sides(draw: st.DrawFn) -> Plain:
    """What any part may say beside what it is made of; unsaid as often as said."""
    offered: dict[str, st.SearchStrategy[Any]] = {
        "count": counts,
        "role": st.sampled_from(["chassis", "drive", "weapon", "power"]),
        "size": st.sampled_from(["68 x 35 x 17 mm ± 0.5 mm", "20 x 10 x 5 mm"]),
        "dims": st.dictionaries(st.sampled_from(["bore", "height"]), lengths, min_size=1, max_size=2),
        "process": st.just("laser"),
        "joined": st.sampled_from(["glued", "plugged", "clipped"]),
        "rework": st.sampled_from([["leads cut"], [{"do": "leads cut", "takes": "5 min"}, "case removed"]]),
        "price": st.just("12.50 EUR"),
        "centre": st.just("10 x -20 x 5 mm"),
        "note": st.just("four walls"),
        "tags": st.just(["spare"]),
        "x-print": free,
    }
    chosen = draw(st.lists(st.sampled_from(sorted(offered)), max_size=3, unique=True))
    return {key: draw(offered[key]) for key in chosen}


@st.composite
def made(draw: st.DrawFn, bars: bool = True) -> Plain:
    """What one part is made of, in one of the five ways."""
    way = draw(
        st.sampled_from(["drawn", "area", "bar", "mass", "bought"] if bars else ["drawn", "area", "mass"])
    )
    if way in {"drawn", "area"}:
        stock = draw(st.sampled_from(SHEETS))
        outline = {"outline": draw(st.sampled_from(sorted(OUTLINES)))}
        return {
            "stock": stock,
            **(outline if way == "drawn" else {"area": f"{draw(st.integers(5, 300))} cm2"}),
        }
    if way == "bar":
        return {"stock": draw(st.sampled_from(BARS)), "length": draw(lengths)}
    if way == "mass":
        return {"mass": draw(masses)}
    return {"mass": draw(masses), "item": draw(st.sampled_from(["22 mm gear motor", "3 s pack", "bearing"]))}


@st.composite
def parts(draw: st.DrawFn) -> Plain:
    """A part that names no other thing."""
    return {**draw(made()), **_sides(draw)}


@st.composite
def groups(draw: st.DrawFn, held: tuple[str, ...]) -> Plain:
    """Screws that hold one of the things."""
    types = ["M3x10 cap", "M3x8 countersunk", "ISO 7380-1 M3x8"]
    found = {
        "type": draw(st.sampled_from(types)),
        "count": draw(counts),
        "holds": draw(st.sampled_from(held)),
    }
    if draw(st.booleans()):
        found |= {"type": "rivet of our own", "mass": draw(grams), "washers": draw(st.integers(0, 2))}
    return found


# --- whole designs ---------------------------------------------------------------------------------------


@st.composite
def modules(draw: st.DrawFn, name: str, inner: tuple[str, ...] = ()) -> Plain:
    """A module, which may use another."""
    names = draw(st.lists(st.sampled_from(NAMES), min_size=1, max_size=3, unique=True))
    found: Plain = {"module": name, "stock": STOCKS, "parts": {part: draw(parts()) for part in names}}
    if inner and draw(st.booleans()):
        found["modules"] = {"box": draw(st.sampled_from(inner))}
    return found


@st.composite
def robots(draw: st.DrawFn, used: tuple[str, ...]) -> Plain:
    """A robot that uses module builds, with screws, options, fits, access, settings and free text."""
    names = draw(st.lists(st.sampled_from(NAMES), min_size=2, max_size=5, unique=True))
    found: Plain = {
        "robot": "wren",
        "stock": {name: STOCKS[name] for name in STOCKS if name != "pc-3"},
        "parts": {name: draw(parts()) for name in names},
    }
    places = draw(st.lists(st.sampled_from(PLACES), max_size=2, unique=True))
    if places:
        found["modules"] = {place: draw(uses(used)) for place in places}
    screws = draw(st.lists(st.sampled_from(GROUPS), max_size=2, unique=True))
    if screws:
        found["fasteners"] = {name: draw(groups(tuple(names))) for name in screws}
    if draw(st.booleans()):
        found["options"] = {"fork": draw(options())}
        found["fitted"] = {"fork": draw(st.sampled_from(sorted(found["options"]["fork"])))}
    if draw(st.booleans()):
        found["fits"] = {"clear": {"need": "at least 1 mm", "chain": draw(chains(names))}}
    if draw(st.booleans()):
        found["access"] = {names[0]: [{"behind": [names[1]], "tools": ["a hook"]}]}
    for key, values in _WHOLE.items():
        if draw(st.integers(0, 3)) == 0:
            found[key] = draw(values)
    return found


_WHOLE: dict[str, st.SearchStrategy[Any]] = {
    "class": st.sampled_from(["3lb", "1lb"]),
    "title": st.just("Wren"),
    "notes": free,
    "settings": st.dictionaries(
        st.sampled_from(["channel", "expo"]), st.sampled_from(["5", "30 %"]), min_size=1
    ),
    "cautions": st.just(["hot lift"]),
    "files": st.just(["cad/wren.step"]),
    "packing": st.just(["tape", {"zip ties": 20}]),
    "x-paint": free,
}


@st.composite
def uses(draw: st.DrawFn, used: tuple[str, ...]) -> Any:
    """A place, short or long."""
    ref = draw(st.sampled_from(used))
    return ref if draw(st.booleans()) else {"use": ref, "role": "drive", "centre": "0 x 40 x 0 mm"}


@st.composite
def options(draw: st.DrawFn) -> Plain:
    """The choices of one option."""
    found: Plain = {"long": {"parts": {"tine-long": draw(parts())}}, "none": {"settings": {"expo": "30 %"}}}
    if draw(st.booleans()):
        found["short"] = {"parts": {"tine-short": draw(parts())}}
    return found


@st.composite
def chains(draw: st.DrawFn, names: list[str]) -> list[str]:
    """A chain over dimensions that may or may not be there."""
    dims = st.sampled_from(["bore", "height", "thickness", "length"])
    terms = st.builds(lambda sign, name, dim: f"{sign}{name}.{dim}", st.sampled_from(["", "-", "2 * "]),
                      st.sampled_from(names), dims)  # fmt: skip
    return [*draw(st.lists(terms, min_size=1, max_size=3)), draw(lengths)]


# --- small edits -----------------------------------------------------------------------------------------

Edit = Callable[[st.DrawFn, Plain], None]


def _add_part(draw: st.DrawFn, plain: Plain) -> None:
    free_names = [name for name in (*NAMES, "new-part") if name not in plain["parts"]]
    plain["parts"][draw(st.sampled_from(free_names))] = draw(parts())


def _drop_part(draw: st.DrawFn, plain: Plain) -> None:
    name = draw(st.sampled_from(sorted(plain["parts"])))
    if len(plain["parts"]) > 2:
        del plain["parts"][name]


def _change_part(draw: st.DrawFn, plain: Plain) -> None:
    name = draw(st.sampled_from(sorted(plain["parts"])))
    part = plain["parts"][name]
    plain["parts"][name] = draw(parts()) if draw(st.booleans()) else {**part, **_sides(draw)}


def _change_stock(draw: st.DrawFn, plain: Plain) -> None:
    name, key, value = draw(st.sampled_from([
        ("pom-6", "thickness", "5 mm"), ("pom-6", "price", "31 EUR"), ("own-2", "density", "1.4 g/cm3"),
        ("own-2", "material", "acetal"), ("foam", "areal", "1000 g/m2"), ("strap", "linear", "14 g/m"),
        ("pom-6", "kerf", "0.2 mm"), ("own-2", "x-lot", {"bought": [1, 2]}),
    ]))  # fmt: skip
    stock = deepcopy(plain.get("stock", {}))
    if name in stock:
        plain["stock"] = {**stock, name: {**stock[name], key: value}}


def _change_uses(draw: st.DrawFn, plain: Plain) -> None:
    where = plain.setdefault("modules", {})
    where[draw(st.sampled_from(PLACES))] = draw(uses(("pod@A", "pod@B", "box@A")))


def _drop_uses(draw: st.DrawFn, plain: Plain) -> None:
    plain.pop("modules", None)


def _change_screws(draw: st.DrawFn, plain: Plain) -> None:
    held = tuple(sorted(plain["parts"]))
    where = plain.setdefault("fasteners", {})
    where[draw(st.sampled_from(GROUPS))] = draw(groups(held))


def _change_options(draw: st.DrawFn, plain: Plain) -> None:
    plain["options"] = {"fork": draw(options())}
    plain["fitted"] = {"fork": draw(st.sampled_from(sorted(plain["options"]["fork"])))}


def _refit(draw: st.DrawFn, plain: Plain) -> None:
    if "options" in plain:
        plain["fitted"] = {"fork": draw(st.sampled_from(sorted(plain["options"]["fork"])))}


def _change_whole(draw: st.DrawFn, plain: Plain) -> None:
    key = draw(st.sampled_from(sorted(_WHOLE)))
    plain[key] = draw(_WHOLE[key])


def _change_fits(draw: st.DrawFn, plain: Plain) -> None:
    chain = draw(chains(sorted(plain["parts"])))
    plain["fits"] = {
        "clear": {"need": draw(st.sampled_from(["at least 1 mm", "at most 2 mm"])), "chain": chain}
    }


def _move_part(draw: st.DrawFn, plain: Plain) -> None:
    """A part goes into a choice, or out of one."""
    if "options" in plain and len(plain["parts"]) > 2:
        name = draw(st.sampled_from(sorted(plain["parts"])))
        plain["options"]["fork"]["none"].setdefault("parts", {})[name] = plain["parts"].pop(name)


EDITS: tuple[Edit, ...] = (
    _add_part, _drop_part, _change_part, _change_stock, _change_uses, _drop_uses, _change_screws,
    _change_options, _refit, _change_whole, _change_fits, _move_part,
)  # fmt: skip


@st.composite
def edited(draw: st.DrawFn, plain: Plain) -> Plain:
    """The same design after one to three small edits."""
    after = deepcopy(plain)
    for edit in draw(st.lists(st.sampled_from(EDITS), min_size=1, max_size=3)):
        edit(draw, after)
    return after


class Bench:
    """Robots side by side over the module builds that they share."""

    def __init__(self, robots: list[Plain], modules: dict[BuildRef, Spec]) -> None:
        self.plain = robots
        self.specs = [read(plain, label) for plain, label in zip(robots, "ABC", strict=False)]
        self.modules = modules

    def lookup(self, ref: BuildRef) -> Spec:
        """A module build."""
        return self.modules[ref]


@st.composite
def benches(draw: st.DrawFn, states: int = 2) -> Bench:
    """A robot in some states, each a few small edits from the one before."""
    inner = {BuildRef("box", label): draw(modules("box")) for label in "AB"}
    pods = {BuildRef("pod", label): draw(modules("pod", tuple(map(str, inner)))) for label in "AB"}
    built = {ref: read(plain, ref.label) for ref, plain in {**inner, **pods}.items()}
    found = [draw(robots(tuple(map(str, built))))]
    while len(found) < states:
        found.append(draw(edited(found[-1])))
    return Bench(found, built)
