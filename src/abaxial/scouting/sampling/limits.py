"""How much there may be: limits of a share after some leaves were found rusted, or none."""

import math
from statistics import NormalDist

from abaxial.errors import ScoutingError
from abaxial.scouting.sampling.detection import missed_in_bed_frac

_TINY = 1e-300
_NEAR = 1e-15


def none_found_limit_frac(looked: int, *, confidence_frac: float, efficacy_frac: float) -> float:
    """The highest incidence that looking at so many and finding none leaves open [0 to 1]; one-sided, exact.

    looked : 0 or more. efficacy_frac : chance that a look at a rusted one notices it, above 0. With 0.95 and hundreds
    looked at it nears the rule of three, 3 / looked. Source: clopper1934.
    """
    if looked <= 0:
        return 1.0
    return float(min(1.0, -math.expm1(math.log1p(-_inside(confidence_frac)) / looked) / _positive(efficacy_frac)))


def none_found_credible_frac(looked: int, *, confidence_frac: float) -> float:
    """The same after every incidence was thought equally likely beforehand [0 to 1]: as if one more had been looked at."""
    return none_found_limit_frac(looked + 1, confidence_frac=confidence_frac, efficacy_frac=1.0)


def none_found_limit_in_bed(looked: int, *, bed_units: int, confidence_frac: float, efficacy_frac: float) -> int:
    """The most rusted units that a bed may still hold after so many of it were looked at, none twice, and none found.

    looked : 0 to bed_units. Where every look notices, looking at all leaves 0.
    """
    allowed = 1.0 - _inside(confidence_frac)
    low, high = 0, bed_units
    while low < high:
        middle = (low + high + 1) // 2
        missed = missed_in_bed_frac(looked, bed_units=bed_units, rusted_units=middle, efficacy_frac=efficacy_frac)
        low, high = (middle, high) if missed > allowed * (1.0 + 1e-9) else (low, middle - 1)
    return low


def wilson_limits_frac(rusted: int, looked: int, *, confidence_frac: float) -> tuple[float, float]:
    """Two-sided limits of an incidence after some of those looked at were rusted [0 to 1]: short, right on average.

    rusted : 0 to looked; looked : 1 or more. Source: wilson1927.
    """
    _counts(rusted, looked)
    z = NormalDist().inv_cdf(0.5 + _inside(confidence_frac) / 2.0)
    share, scale = rusted / looked, 1.0 + z * z / looked
    middle = (share + z * z / (2.0 * looked)) / scale
    reach = z / scale * math.sqrt(share * (1.0 - share) / looked + z * z / (4.0 * looked * looked))
    return (0.0 if rusted == 0 else middle - reach), (1.0 if rusted == looked else middle + reach)


def exact_limits_frac(rusted: int, looked: int, *, confidence_frac: float) -> tuple[float, float]:
    """Two-sided limits that never hold the truth less often than promised [0 to 1]; so they are wide.

    rusted : 0 to looked; looked : 1 or more. Source: clopper1934.
    """
    _counts(rusted, looked)
    tail = (1.0 - _inside(confidence_frac)) / 2.0
    low = 0.0 if rusted == 0 else beta_quantile_frac(tail, rusted, looked - rusted + 1)
    high = 1.0 if rusted == looked else beta_quantile_frac(1.0 - tail, rusted + 1, looked - rusted)
    return low, high


def beta_share_frac(at_frac: float, alpha: float, beta: float) -> float:
    """Share of a beta distribution that lies below a value [0 to 1]: the regularised incomplete beta function.

    alpha, beta : above 0. Continued fraction in Lentz's manner, tested against a general library.
    """
    if at_frac <= 0.0 or at_frac >= 1.0:
        return float(at_frac > 0.0)
    if at_frac > (alpha + 1.0) / (alpha + beta + 2.0):
        return 1.0 - beta_share_frac(1.0 - at_frac, beta, alpha)
    front = alpha * math.log(at_frac) + beta * math.log1p(-at_frac) - math.log(alpha)
    front += math.lgamma(alpha + beta) - math.lgamma(alpha) - math.lgamma(beta)
    above, below = 1.0, 1.0 / _kept(1.0 - (alpha + beta) * at_frac / (alpha + 1.0))
    fraction = below
    for m in range(1, 20_000):
        end = alpha + 2 * m
        for step in (
            m * (beta - m) * at_frac / ((end - 1.0) * end),
            -(alpha + m) * (alpha + beta + m) * at_frac / (end * (end + 1.0)),
        ):
            below, above = 1.0 / _kept(1.0 + step * below), _kept(1.0 + step / above)
            fraction *= below * above
        if abs(below * above - 1.0) < _NEAR:
            break
    return math.exp(front) * fraction


def beta_quantile_frac(share_frac: float, alpha: float, beta: float) -> float:
    """The value below which a share of a beta distribution lies [0 to 1], by halving to the last digit."""
    low, high = 0.0, 1.0
    for _ in range(200):
        middle = (low + high) / 2.0
        if middle in (low, high):
            break
        low, high = (middle, high) if beta_share_frac(middle, alpha, beta) < share_frac else (low, middle)
    return (low + high) / 2.0


def _kept(value: float) -> float:
    """A divisor kept away from nought."""
    return value if abs(value) > _TINY else _TINY


def _inside(confidence_frac: float) -> float:
    if not 0.0 < confidence_frac < 1.0:
        raise ScoutingError(f"The confidence is {confidence_frac:g}; it must lie between 0 and 1.", remedy="Take 0.95.")
    return confidence_frac


def _positive(efficacy_frac: float) -> float:
    if not 0.0 < efficacy_frac <= 1.0:
        raise ScoutingError(
            f"The efficacy is {efficacy_frac:g}; it must lie above 0, up to 1.", remedy="A look must find something."
        )
    return efficacy_frac


def _counts(rusted: int, looked: int) -> None:
    if not 0 <= rusted <= looked or looked < 1:
        raise ScoutingError(
            f"{rusted} of {looked} cannot be.", remedy="Look at 1 or more, and count no more than that."
        )
