"""Counts, strata and readings as they may come from any family."""

from hypothesis import strategies as st

from lineage.evidence.exact import Counts, Stratum
from lineage.evidence.readings import Reading


@st.composite
def counts(draw, most=12, least=0):
    of = draw(st.integers(least, most))
    return Counts(draw(st.integers(0, of)), of)


def strata(most=12, least=0):
    """One robot to four."""
    return st.lists(st.builds(Stratum, counts(most, least), counts(most, least)), min_size=1, max_size=4)


def uninformative():
    """No bouts on a side, no failures, or nothing but failures."""
    n = st.integers(1, 12)
    return st.one_of(
        st.builds(lambda b, a: Stratum(Counts(0, b), Counts(0, a)), n, n),
        st.builds(lambda b, a: Stratum(Counts(b, b), Counts(a, a)), n, n),
        st.builds(lambda c: Stratum(c, Counts(0, 0)), counts()),
        st.builds(lambda c: Stratum(Counts(0, 0), c), counts()),
    )


def readings(least=2):
    value = st.floats(1, 100)
    return st.lists(st.builds(Reading, value, st.floats(0.001, 2)), min_size=least, max_size=6)
