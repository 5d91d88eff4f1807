"""Designs of any mixture of plates, bars, masses, screws and modules, for laws of weight."""

from hypothesis import strategies as st

from lineage.drawings.moments import Measures
from lineage.figures.weight import Weight, weigh
from lineage.spec.assembly import Assembly
from lineage.spec.records import Design, Use
from lineage.values.uncertain import Uncertain
from tests.hand_built import assembled, module, place, robot
from tests.weighing_bench import bolts, drawn, piece, stock

DRAWINGS = {"a.dxf": "drawing a", "b.dxf": "drawing b"}
MEASURES: dict[str, Measures] = {
    "drawing a": drawn(1234.5, 150.0, limit=0.8),
    "drawing b": drawn(9876.0, 480.0),
}
STOCKS = {
    "pom": stock("acetal", thickness="3 mm ± 0.15 mm"),
    "pom-thick": stock("acetal", thickness="6 mm +0.6/-0"),
    "alu": stock("aluminium-7075", thickness="2 mm", density="2.81 g/cm3 ± 0.03 g/cm3"),
    "rod": stock("steel", section="6 ± 0.05 mm round"),
    "tube": stock("titanium-6al4v", section="12 ± 0.1 x 1 ± 0.1 mm tube"),
    "cloth": stock("rubber", areal="900 g/m2 ± 50 g/m2"),
}
ROLES = ("chassis", "drive", "weapon", None)

counts = st.integers(1, 5)
masses = st.builds(
    lambda grams, how: f"{grams} g {how}",
    st.decimals(1, 400, places=1),
    st.sampled_from(["listed", "weighed", "modelled", "guess"]),
)
bought = st.builds(
    lambda mass, count, role: piece(mass=mass, count=count, role=role), masses, counts, st.sampled_from(ROLES)
)
plates = st.builds(
    lambda of, outline, count, role: piece(stock=of, outline=outline, count=count, role=role),
    st.sampled_from(["pom", "pom-thick", "alu", "cloth"]),
    st.sampled_from(sorted(DRAWINGS)),
    counts,
    st.sampled_from(ROLES),
)
bars = st.builds(
    lambda of, length, count: piece(stock=of, length=f"{length} mm ± 0.5 mm", count=count),
    st.sampled_from(["rod", "tube"]),
    st.integers(5, 300),
    counts,
)
groups = st.builds(
    lambda type_, count, washers: bolts(type_, count, washers=washers),
    st.sampled_from(["M3x10 cap", "M4x12 button", "M5x16 countersunk"]),
    counts,
    st.integers(0, 2),
)


def _named(kind: str, things: st.SearchStrategy) -> st.SearchStrategy[dict]:
    return st.lists(things, max_size=4).map(lambda many: {f"{kind}-{n}": one for n, one in enumerate(many)})


@st.composite
def designs(draw: st.DrawFn) -> tuple[Design, ...]:
    """A robot with a module in none to three places, and the module, which may hold another."""
    inner = module("box", stock=STOCKS, parts=draw(_named("inner", bought | plates)))
    boxes: dict[str, Use] = {"box": place("box")} if draw(st.booleans()) else {}
    pod = module("pod", stock=STOCKS, parts=draw(_named("pod", bought | plates | bars)), modules=boxes)
    places = {
        name: place("pod", role=draw(st.sampled_from(ROLES)))
        for name in ("left", "right", "rear")[: draw(st.integers(0, 3))]
    }
    wren = robot(
        stock=STOCKS,
        parts=draw(_named("own", bought | plates | bars)),
        fasteners=draw(_named("screws", groups)),
        modules=places,
    )
    return wren, pod, inner


@st.composite
def weighed_assemblies(draw: st.DrawFn) -> tuple[Assembly, Weight, dict[str, Uncertain]]:
    """An assembly with its weight, some of its things and places weighed."""
    assembly = assembled(*draw(designs()), drawings=DRAWINGS)
    refs = (
        draw(st.lists(st.sampled_from(sorted(assembly.things)), unique=True, max_size=4))
        if assembly.things
        else []
    )
    weighed = {
        ref: Uncertain(draw(st.floats(1, 500)), {("reading", ref): draw(st.floats(0.01, 2))}) for ref in refs
    }
    return assembly, weigh(assembly, MEASURES, weighed), weighed
