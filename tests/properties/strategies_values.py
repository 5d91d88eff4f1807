"""Numbers, units and uncertain numbers as people might write and combine them."""

from hypothesis import strategies as st

from lineage.values.uncertain import Uncertain
from lineage.values.units import CURRENCIES, UNITS

whole = st.integers(0, 99_999).map(str)
point = st.tuples(st.integers(0, 9_999), st.integers(0, 9_999)).map(
    lambda p: f"{p[0]}.{p[1]:04d}".rstrip("0")
)
exponent = st.tuples(st.integers(1, 999), st.integers(-9, 9)).map(lambda p: f"{p[0]}e{p[1]}")
fraction = st.tuples(st.integers(0, 99), st.integers(1, 64)).map(lambda p: f"{p[0]}/{p[1]}")
mixed = st.tuples(st.integers(1, 99), st.integers(0, 63), st.integers(1, 64)).map(
    lambda p: f"{p[0]} {p[1]}/{p[2]}"
)
unsigned = st.one_of(whole, point, exponent, fraction, mixed)
number = st.tuples(st.sampled_from(["", "-", "+"]), unsigned).map("".join)

physical = st.sampled_from(sorted(UNITS.keys() - CURRENCIES))
lengths = st.sampled_from(["mm", "cm", "m", "in", "ft", "mil", "um"])

# what people's fingers find: the characters of quantities, in any order
scribble = st.text("0123456789.,-+±/x×*%_:eE mgkinNHh²½\"'\N{NO-BREAK SPACE}٣abcdlostfrwu()", max_size=40)
anything = st.text(max_size=30)

SOURCES = ("density", "thickness", "scale", "glue", "cell")
small = st.floats(-3, 3).filter(lambda x: x == 0 or abs(x) > 1e-6)
values = st.floats(0.5, 50) | st.floats(-50, -0.5)


@st.composite
def uncertain(draw):
    parts = draw(st.dictionaries(st.sampled_from(SOURCES), small, max_size=4))
    return Uncertain(draw(values), parts)
