"""Propagation of uncertainty against the examples of the guides; shared sources above all."""

from math import cos, sin, sqrt

import pytest

from lineage.values.uncertain import Uncertain, exact, from_source, total
from tests.printed import Printed, rows


def mean_of(readings):
    """A mean whose sources are the occasions of reading, so that things read together are correlated."""
    n = len(readings)
    mean = sum(readings) / n
    return Uncertain(mean, {f"occasion {k}": (x - mean) / sqrt(n * (n - 1)) for k, x in enumerate(readings)})


def covariance(a, b):
    return sum(part * b.parts.get(source, 0.0) for source, part in a.parts.items())


def correlation(a, b):
    return covariance(a, b) / (a.u * b.u)


# --- JCGM 100:2008 (GUM), H.2, simultaneous resistance and reactance; data and results seen in two copies of the
# example (documentation and tests of two public uncertainty programs) -------------------------------------

V = mean_of([5.007, 4.994, 5.005, 4.990, 4.999])
I = mean_of([0.019663, 0.019639, 0.019640, 0.019685, 0.019678])
PHI = mean_of([1.0456, 1.0438, 1.0468, 1.0428, 1.0433])
Z = V.over(I)


def turned(function, slope):
    return Uncertain(function, {source: part * slope for source, part in PHI.parts.items()})


R = Z.times(turned(cos(PHI.value), -sin(PHI.value)))
X = Z.times(turned(sin(PHI.value), cos(PHI.value)))


def test_means_read_together_have_the_printed_uncertainties_and_correlations():
    assert Printed("4.9990") == V.value
    assert Printed("0.0032") == V.u
    assert Printed("19.661") == 1000 * I.value
    assert Printed("0.0095") == 1000 * I.u
    assert Printed("1.04446") == PHI.value
    assert Printed("0.00075") == PHI.u
    assert [Printed("-.36"), Printed(".86"), Printed("-.65")] == [
        correlation(V, I), correlation(V, PHI), correlation(I, PHI)
    ]  # fmt: skip


def test_quotients_and_products_of_correlated_means():
    assert Printed("254.260") == Z.value
    assert Printed(".236") == Z.u
    assert Printed("127.732") == R.value
    assert Printed(".071") == R.u
    assert Printed("219.847") == X.value
    assert X.u == pytest.approx(0.295, abs=0.001)  # printed from rounded correlations; .2956 unrounded


def test_results_from_shared_inputs_are_correlated_themselves():
    assert Printed("-.588") == correlation(R, X)
    assert Printed("-.485") == correlation(R, Z)
    assert Printed(".993") == correlation(X, Z)


# --- sums ------------------------------------------------------------------------------------------------


def test_the_end_gauge_of_the_guide():
    """GUM H.1 (seen in copies of the example): six components in nm make 32 nm."""
    components = [25.0, 16.599, 6.7, 5.8, 3.9, 2.88679]
    length = total(from_source(0.0, name, u) for name, u in enumerate(components))
    assert length.u == pytest.approx(32, abs=0.5)


def test_four_of_one_each_make_two():
    """GUM Supplement 1, 9.2 (seen in a copy of the example): u of the sum 2.0."""
    assert Printed("2.0") == total(from_source(0.0, name, 1.0) for name in "abcd").u


def test_ten_resistors_calibrated_against_one_standard():
    """GUM 5.2.2 (numbers from memory): 1 ohm when the standard is shared, .32 when that is overlooked."""
    shared = total(from_source(1000.0, "standard", 0.1) for _ in range(10))
    overlooked = total(from_source(1000.0, f"standard {k}", 0.1) for k in range(10))
    assert (shared.value, Printed("1.000000")) == (10_000.0, shared.u)
    assert Printed("0.32") == overlooked.u
    assert Printed(".316") == overlooked.u


# Arithmetic: u = sqrt(.3^2 + .4^2 + 2 r .3 .4), the second input made of a part shared with the first and its own.
CORRELATED = rows("""
    -1 | =.1
    -.5 | .360555128
    0 | =.5
    .5 | .608276253
    1 | =.7
""")


@pytest.mark.parametrize(("r", "u"), CORRELATED)
def test_two_terms_with_a_part_in_common(r, u):
    share = float(r)
    first = from_source(1.0, "shared", 0.3)
    second = Uncertain(1.0, {"shared": 0.4 * share, "own": 0.4 * sqrt(1 - share**2)})
    assert Printed(u) == first.plus(second).u


def test_the_difference_of_two_readings_of_one_scale():
    """Readout steps of .1, arithmetic: each .0288675135, their difference .0408248290 (GUM F.2.2.1, from memory)."""
    one, other = (from_source(5.0, f"reading {k}", 0.1 / sqrt(12)) for k in (1, 2))
    assert Printed(".0288675135") == one.u
    assert Printed(".0408248290") == one.minus(other).u


# --- products and quotients ------------------------------------------------------------------------------


def test_the_standard_solution_of_the_analysts_guide():
    """CITAC A1, c = 1000 m P / V (seen in a copy of the example): 1002.7 mg/l, u .835199, and its parts."""
    mass = from_source(100.28, "mass", 0.05)
    purity = from_source(0.9999, "purity", 0.0001 / sqrt(3))
    volume = total(
        [
            exact(100.0),
            from_source(0.0, "flask", 0.1 / sqrt(6)),
            from_source(0.0, "filling", 0.02),
            from_source(0.0, "temperature", 0.084 / sqrt(3)),
        ]
    )
    c = mass.times(purity).over(volume).scaled(1000)
    assert Printed("1002.7") == c.value
    assert Printed(".835199") == c.u
    assert Printed(".49995") == c.parts["mass"]
    assert Printed(".486284") == -c.parts["temperature"]
    assert Printed(".40935") == -c.parts["flask"]
    assert Printed(".20054") == -c.parts["filling"]
    assert Printed(".0578967") == c.parts["purity"]


def test_thermal_expansion_with_one_length_above_and_below_the_line():
    """NIST TN 1900, E13 (seen in copies): 1.7266e-5, u 1.76e-6; more digits computed with a reference library."""
    cold, hot = from_source(1.4999, "L0", 0.0001), from_source(1.5021, "L1", 0.0002)
    rise = from_source(373.10, "T1", 0.05).minus(from_source(288.15, "T0", 0.02))
    expansion = hot.minus(cold).over(cold.times(rise))
    assert Printed("1.7266e-5") == expansion.value
    assert Printed("1.76e-6") == expansion.u
    assert expansion.value == pytest.approx(1.7266208959e-5, rel=1e-9)
    assert expansion.u == pytest.approx(1.7554772808e-6, rel=1e-9)


def test_a_quotient_times_a_factor():
    """Course notes (seen in the tests of a public uncertainty program): .6967, u .00494; more digits computed."""
    quotient = from_source(0.1820, "a", 0.00093).over(from_source(0.1823, "b", 0.00058))
    product = quotient.times(from_source(0.6978, "c", 0.0026))
    assert Printed(".6967") == product.value
    assert Printed(".6966516731") == product.value
    assert Printed(".0049318020") == product.u


def test_a_plate_from_its_four_measures():
    """100(.1) x 50(.1) x 3(.05) mm x 1.41e-3(.01e-3) g/mm3, computed with a reference library."""
    mass = exact(1.0)
    for name, value, u in (("l", 100, 0.1), ("w", 50, 0.1), ("t", 3, 0.05), ("density", 1.41e-3, 1e-5)):
        mass = mass.times(from_source(value, name, u))
    assert Printed("21.15") == mass.value
    assert Printed(".3859959359") == mass.u
    assert {name: part / mass.value for name, part in mass.parts.items()} == pytest.approx(
        {"l": 0.001, "w": 0.002, "t": 0.0166667, "density": 0.0070922}, abs=5e-8
    )
