"""Readings, their combined uncertainty and Student's t against printed examples."""

from math import inf

import pytest

from lineage.evidence.readings import Reading, effective_freedom, side_of
from lineage.values.student import student_quantile
from tests.printed import Printed, rows

# JCGM 100:2008 (GUM), 4.4.3, twenty readings in degrees Celsius (data from memory)
GUM_4_4_3 = (
    "96.90 98.18 98.25 98.61 99.03 99.49 99.56 99.74 99.89 100.07 "
    "100.33 100.42 100.68 100.95 101.11 101.20 101.57 101.84 102.36 102.72"
)


def test_mean_and_scatter_of_repeated_readings():
    """Printed: mean 100.14 (100.145), s of the mean .33; more digits computed with a reference library."""
    side = side_of([Reading(float(text), 0.0) for text in GUM_4_4_3.split(" ")])
    assert side.n == 20
    assert Printed("100.145") == side.value
    assert Printed(".33") == side.u
    assert Printed(".332915747") == side.scatter


def test_effective_freedom_of_two_parts():
    """Course notes in a public uncertainty program's tests (seen in a copy): .57 with 9, .25 with infinite, 12.8."""
    u = (0.57**2 + 0.25**2) ** 0.5
    assert Printed(".6224146528") == u
    assert Printed("12.8") == effective_freedom(u, [(0.57, 9)])
    assert Printed("12.795649") == effective_freedom(u, [(0.57, 9)])


def test_effective_freedom_of_a_quotient_and_product():
    """Same notes: .1820 (u .00093, 9) / .1823 (.00058, 19) × .6978 (.0026, 19); prints 27.7 from rounded parts.

    More digits computed with a reference library: u .0049318020, 27.5127, reach .0101104052.
    """
    value = 0.1820 / 0.1823 * 0.6978
    parts = [(value * u / of, freedom) for u, of, freedom in
             ((0.00093, 0.1820, 9), (0.00058, 0.1823, 19), (0.0026, 0.6978, 19))]  # fmt: skip
    u = sum(part**2 for part, _ in parts) ** 0.5
    freedom = effective_freedom(u, parts)
    assert Printed(".0049318020") == u
    assert Printed("27.5127") == freedom
    assert Printed(".0101104052") == student_quantile(0.975, freedom) * u


def test_effective_freedom_of_the_end_gauge():
    """JCGM 100:2008 (GUM), H.1 (seen in a copy): 25 nm (18), 9.68194 (25.4473), 2.88679 (50), 16.599 (2); prints
    u 32 nm, 16 degrees of freedom, cut to a whole number."""
    parts = [(25, 18), (9.68194, 25.4473), (2.88679, 50), (16.599, 2)]
    u = sum(part**2 for part, _ in parts) ** 0.5
    assert round(u) == 32
    assert int(effective_freedom(u, parts)) == 16


# NIST/SEMATECH e-Handbook, 1.3.6.7.2, upper critical values of Student's t (from memory)
# freedom | 0.90 | 0.95 | 0.975 | 0.99 | 0.995
T_TABLE = """
1   | 3.078 | 6.314 | 12.706 | 31.821 | 63.657
2   | 1.886 | 2.920 | 4.303  | 6.965  | 9.925
3   | 1.638 | 2.353 | 3.182  | 4.541  | 5.841
4   | 1.533 | 2.132 | 2.776  | 3.747  | 4.604
5   | 1.476 | 2.015 | 2.571  | 3.365  | 4.032
10  | 1.372 | 1.812 | 2.228  | 2.764  | 3.169
20  | 1.325 | 1.725 | 2.086  | 2.528  | 2.845
30  | 1.310 | 1.697 | 2.042  | 2.457  | 2.750
100 | 1.290 | 1.660 | 1.984  | 2.364  | 2.626
inf | 1.282 | 1.645 | 1.960  | 2.326  | 2.576
"""


@pytest.mark.parametrize("row", rows(T_TABLE), ids=lambda row: row[0])
def test_critical_values_of_students_t(row):
    freedom, *printed = row
    freedom = inf if freedom == "inf" else int(freedom)
    assert [Printed(text) for text in printed] == [
        student_quantile(chance, freedom) for chance in (0.90, 0.95, 0.975, 0.99, 0.995)
    ]
