"""How many pieces of an item to pack: demand as a rate per robot-bout that is itself not known well.

A gamma distribution says what is believed of the rate before a robot's own bouts are looked at; with them it
becomes another gamma distribution, and the pieces used in bouts to come follow a negative binomial one.

Source: Gelman, Carlin, Stern and Rubin, Bayesian Data Analysis, 2nd ed. (2004), section 2.7 (Poisson model with
exposure, conjugate gamma prior, negative binomial prediction).
"""

from collections.abc import Iterable
from math import expm1, inf, log1p

from msgspec import Struct

from lineage.evidence.search import least
from lineage.values.incomplete_beta import beta_tails

PRIOR_SHAPE = 0.5  # that of Jeffreys' prior for a rate: worth half a piece used
ENOUGH = 0.05  # largest chance of running short that a packing list allows
MOST_PIECES = 1_000_000


class Demand(Struct, frozen=True):
    """Pieces used in robot-bouts (for a family: summed over every item that was in)."""

    pieces: int
    bouts: float


class Gamma(Struct, frozen=True):
    """A gamma distribution of a rate of pieces per robot-bout; its mean is shape ÷ rate."""

    shape: float
    rate: float


def prior_of(family: Demand) -> Gamma | None:
    """What the family's demand says of a robot's rate before its own bouts.

    shape ½, rate = ½ ÷ (pieces ÷ bouts), so that the mean is the family's pieces per item and robot-bout

    family: pieces used and exposure of the whole family.
    Returns a gamma distribution; None where the family has used no piece, as then nothing is known.
    Source: Gelman et al., Bayesian Data Analysis, 2.7; shape ½ is that of Jeffreys' prior for a Poisson rate.
    """
    if family.pieces == 0 or family.bouts <= 0:
        return None
    return Gamma(PRIOR_SHAPE, PRIOR_SHAPE * family.bouts / family.pieces)


def with_demand(belief: Gamma, own: Demand) -> Gamma:
    """The belief after a robot's own bouts.

    shape + pieces, rate + bouts

    belief: before. own: pieces that the robot used and its robot-bouts.
    Returns a gamma distribution.
    Source: Gelman et al., Bayesian Data Analysis, 2.7.
    """
    return Gamma(belief.shape + own.pieces, belief.rate + own.bouts)


def chance_of_more(belief: Gamma, pieces: int, bouts: float) -> float:
    """The chance that more than so many pieces are used in bouts to come.

    P(N > q) = I_x(q + 1, shape), x = bouts/(rate + bouts)

    belief: of the rate, pieces per robot-bout. pieces: q, 0 or more. bouts: robot-bouts to come, 0 or more.
    Returns 0 to 1.
    Source: Gelman et al., Bayesian Data Analysis, 2.7 (negative binomial prediction); its tail by NIST Digital
    Library of Mathematical Functions, 8.17.24.
    """
    x, rest = bouts / (belief.rate + bouts), belief.rate / (belief.rate + bouts)
    return beta_tails(pieces + 1, belief.shape, x, rest)[0]


def chance_short(own: Demand, family: Demand, bouts: float, quantity: int) -> float | None:
    """The chance that a quantity of an item runs short.

    P(pieces used in `bouts` > quantity), prior from the family, own demand and exposure added

    own: the robot's pieces and robot-bouts (pieces). family: likewise of the family. bouts: robot-bouts to come.
    quantity: pieces packed.
    Returns 0 to 1; None where the family has no demand.
    Source: Gelman et al., Bayesian Data Analysis, 2.7.
    """
    prior = prior_of(family)
    return None if prior is None else chance_of_more(with_demand(prior, own), quantity, bouts)


def quantity_for(own: Demand, family: Demand, bouts: float) -> int | None:
    """The least quantity of an item whose chance of running short is at most 5 %.

    least q with P(pieces used in `bouts` > q) ≤ 0.05

    own, family, bouts: as for `chance_short`.
    Returns pieces; None where the family has no demand, or more than a million pieces would be wanted.
    Source: Gelman et al., Bayesian Data Analysis, 2.7; 5 % is this project's choice.
    """
    prior = prior_of(family)
    return None if prior is None else enough(with_demand(prior, own), bouts, ENOUGH)


def enough(belief: Gamma, bouts: float, short: float) -> int | None:
    """The least quantity whose chance of running short is at most `short`; None past a million pieces."""
    return least(lambda pieces: chance_of_more(belief, pieces, bouts) <= short, MOST_PIECES)


def chance_any_short(chances: Iterable[float]) -> float:
    """The chance that any item of a box runs short, items taken to fail independently of each other.

    1 − ∏ (1 − chance)

    chances: 0 to 1 each, of all listed items. Returns 0 to 1; 0 for an empty box.
    Source: product rule for independent items, common practice in sparing (kit protection level).
    """
    logs = [-inf if chance >= 1 else log1p(-chance) for chance in chances]
    return -expm1(sum(logs)) if logs else 0.0
