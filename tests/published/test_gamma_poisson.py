"""Demand as a gamma-Poisson prediction, against printed examples and a reference library."""

import pytest

from lineage.evidence.gamma_poisson import (
    Demand,
    Gamma,
    chance_any_short,
    chance_of_more,
    enough,
    with_demand,
)
from tests.printed import Printed, rows

JEFFREYS, FLAT = Gamma(0.5, 0.0), Gamma(1.0, 0.0)


def chance_of_exactly(belief, pieces, bouts):
    at_least = 1.0 if pieces == 0 else chance_of_more(belief, pieces - 1, bouts)
    return at_least - chance_of_more(belief, pieces, bouts)


# Hoff, A First Course in Bayesian Statistical Methods (2009), section 3.2, birth rates: prior Gamma(2, 1).
# Printed .97, .48, .22, 1.955, 1.511 (from memory); more digits computed with a reference library (scipy 1.17.1).
WITH, WITHOUT = with_demand(Gamma(2, 1), Demand(217, 111)), with_demand(Gamma(2, 1), Demand(66, 44))


def test_hoff_posterior_means():
    assert Printed("1.955357142857") == WITH.shape / WITH.rate
    assert Printed("1.511111111111") == WITHOUT.shape / WITHOUT.rate


def test_hoff_predicted_counts_of_one_more_of_each_group():
    one = [chance_of_exactly(WITH, k, 1) for k in range(60)]
    other = [chance_of_exactly(WITHOUT, k, 1) for k in range(60)]
    larger = sum(one[i] * other[j] for i in range(60) for j in range(i))
    equal = sum(p * q for p, q in zip(one, other, strict=True))
    assert Printed(".482089468484") == larger
    assert Printed(".217675262050") == equal


def test_a_gamma_prior_is_updated_by_counts():
    """A public statistics book's example (paiml.github.io; seen in a copy): ten counts that sum to 40."""
    belief = with_demand(Gamma(0.001, 0.001), Demand(40, 10))
    assert (belief.shape, belief.rate) == (40.001, 10.001)
    assert belief.shape / belief.rate == pytest.approx(3.999700029997, abs=5e-13)


@pytest.mark.parametrize(
    ("pieces", "chance"),
    list(enumerate([".004115226337", ".013717421125", ".027434842250", ".042676421277", ".056901895036"])),
)
def test_predicted_counts_are_negative_binomial(pieces, chance):
    """Shape 5, rate 1, ahead 2 (form seen in a copy, quesba.com; chances computed with a reference library)."""
    assert Printed(chance) == chance_of_exactly(Gamma(5, 1), pieces, 2)


# Data seen in a copy (a public engineering forum, question 437516): failures in hours, hours to go. Chances of 0 to 5
# and spares for 80, 90, 95 and 99 % computed with a reference library (scipy 1.17.1).
# failures | hours | to go | prior | chances | spares
HOURS = """
0 | 32441  | 90247  | Jeffreys | .514217 .189124 .104337 .063957 .041165 .027252 | 2 4 6 11
0 | 32441  | 90247  | flat     | .264419 .194501 .143072 .105241 .077413 .056944 | 5 7 9 14
1 | 251775 | 270742 | Jeffreys | .334479 .259965 .168376 .101785 .059332 .033817 | 3 4 5 8
1 | 251775 | 270742 | flat     | .232180 .240608 .187006 .129196 .083679 .052030 | 4 5 6 9
"""


@pytest.mark.parametrize("row", rows(HOURS), ids=lambda row: f"{row[0]} failed, {row[3]}")
def test_spares_for_hours_to_go(row):
    failures, hours, ahead, prior, chances, spares = row
    belief = with_demand(JEFFREYS if prior == "Jeffreys" else FLAT, Demand(int(failures), int(hours)))
    for pieces, chance in enumerate(chances.split()):
        assert Printed(chance) == chance_of_exactly(belief, pieces, int(ahead))
    wanted = [enough(belief, int(ahead), short) for short in (0.20, 0.10, 0.05, 0.01)]
    assert wanted == [int(number) for number in spares.split()]


# pieces | bouts | bouts to come | spares for 50, 80, 90, 95 %; arithmetic
SMALL = """
3 | 10 | 5  | 1 3 4 5
0 | 10 | 5  | 0 0 1 1
1 | 4  | 4  | 1 3 4 5
5 | 20 | 10 | 2 4 5 7
"""


@pytest.mark.parametrize(("pieces", "bouts", "ahead", "spares"), rows(SMALL))
def test_spares_for_small_counts(pieces, bouts, ahead, spares):
    belief = with_demand(JEFFREYS, Demand(int(pieces), int(bouts)))
    wanted = [enough(belief, int(ahead), short) for short in (0.50, 0.20, 0.10, 0.05)]
    assert wanted == [int(number) for number in spares.split()]


def test_cumulative_chances_for_three_pieces_in_ten_bouts_with_five_to_come():
    belief = with_demand(JEFFREYS, Demand(3, 10))
    printed = [".241925", ".524171", ".735855", ".865218", ".935289", ".970325"]
    assert [Printed(text) for text in printed] == [1 - chance_of_more(belief, k, 5) for k in range(6)]


# A rate that is known as well as exactly: the Poisson distribution. Mean demand | spares (reached) at 80, 90, 95, 99 %;
# computed with a reference library (scipy 1.17.1)
POISSON = """
0.25 | 1 .973501  | 1 .973501  | 1 .973501  | 2 .997839
0.5  | 1 .909796  | 1 .909796  | 2 .985612  | 3 .998248
1    | 2 .919699  | 2 .919699  | 3 .981012  | 4 .996340
1.5  | 2 .808847  | 3 .934358  | 4 .981424  | 5 .995544
2    | 3 .857123  | 4 .947347  | 5 .983436  | 6 .995466
3    | 4 .815263  | 5 .916082  | 6 .966491  | 8 .996197
4    | 6 .889326  | 7 .948866  | 8 .978637  | 9 .991868
5    | 7 .866628  | 8 .931906  | 9 .968172  | 11 .994547
10   | 13 .864464 | 14 .916542 | 15 .951260 | 18 .992813
20   | 24 .843227 | 26 .922113 | 28 .965666 | 31 .991908
"""


@pytest.mark.parametrize("row", rows(POISSON), ids=lambda row: row[0])
def test_a_rate_known_for_certain_gives_poisson_spares(row):
    mean, *levels = row
    known = Gamma(1e10, 1e10 / float(mean))
    for level, cell in zip((0.80, 0.90, 0.95, 0.99), levels, strict=True):
        spares, reached = cell.split()
        assert enough(known, 1, 1 - level) == int(spares)
        assert Printed(reached) == 1 - chance_of_more(known, int(spares), 1)


def test_a_box_holds_when_every_item_does():
    """Mean demands .5, 1, 2 with 1, 2, 4 pieces: .909796 × .919699 × .947347 = .792681314836; arithmetic."""
    short = [1 - reached for reached in (0.909795989569, 0.919698602929, 0.947346982656)]
    assert chance_any_short(short) == pytest.approx(1 - 0.792681314836, abs=1e-11)
