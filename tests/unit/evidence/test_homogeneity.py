"""Robots that pull apart."""

from fractions import Fraction

from lineage.evidence.exact import Counts, Stratum
from lineage.evidence.homogeneity import chance_of_differing_so, pull_apart


def robot(before, after):
    return Stratum(Counts(*before), Counts(*after))


def test_one_robot_cannot_differ_from_itself():
    assert chance_of_differing_so([robot((5, 8), (1, 9))]) == 1
    assert pull_apart([robot((5, 8), (1, 9)), robot((0, 3), (0, 4))]) is False


def test_one_that_gained_and_one_that_lost_pull_apart():
    """4 of 5 to 1 of 5 beside 1 of 5 to 4 of 5: ways squared 1, 625, 10,000, 10,000, 625, 1."""
    tables = [robot((4, 5), (1, 5)), robot((1, 5), (4, 5))]
    assert chance_of_differing_so(tables) == Fraction(2 * 625 + 2, 2 * (1 + 625 + 10_000))
    assert pull_apart(tables) is True


def test_robots_with_shares_of_their_own_that_gain_alike_do_not():
    assert pull_apart([robot((8, 10), (4, 10)), robot((3, 10), (1, 10))]) is False


def test_too_many_outcomes_are_not_gone_through():
    many = [robot((10 + i, 40 + i), (11, 37 + 2 * i)) for i in range(6)]
    assert chance_of_differing_so(many) is None
    assert pull_apart(many) is None
