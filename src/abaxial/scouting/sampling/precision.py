"""How many to look at to know how much rust there is, and not only whether."""

from statistics import NormalDist

from abaxial.errors import ScoutingError


def units_for_spread(incidence_frac: float, *, spread_frac: float) -> float:
    """Leaves or plants to look at for an incidence known to a given relative spread, not rounded.

    incidence_frac : expected, above 0, to 1. spread_frac : standard deviation over mean, above 0. Source: madden2007.
    """
    _above(incidence_frac, spread_frac)
    return (1.0 - incidence_frac) / (incidence_frac * spread_frac**2)


def units_for_reach(incidence_frac: float, *, reach_frac: float, confidence_frac: float) -> float:
    """Leaves or plants to look at for an incidence known to within a reach on either side, not rounded.

    reach_frac : half of the width between the limits, above 0. Normal approximation. Source: madden2007.
    """
    _above(incidence_frac, reach_frac)
    z = NormalDist().inv_cdf(0.5 + confidence_frac / 2.0)
    return z * z * incidence_frac * (1.0 - incidence_frac) / reach_frac**2


def units_of_bed(units: float, *, bed_units: float) -> float:
    """The same for a bed of finite size, none looked at twice, not rounded. Source: madden2007."""
    return units / (1.0 + (units - 1.0) / bed_units)


def design_factor(each: float, *, correlation_frac: float) -> float:
    """By how much leaves of the same plant, being alike, raise the number needed: 1 + ρ (n − 1).

    each : leaves looked at on one plant. correlation_frac : of leaves within a plant, 0 to 1. Source: madden2007.
    """
    return 1.0 + correlation_frac * (each - 1.0)


def plants_for_spread(incidence_frac: float, *, each: float, correlation_frac: float, spread_frac: float) -> float:
    """Plants on which to look at so many leaves each, for a given relative spread of the incidence, not rounded."""
    needed = units_for_spread(incidence_frac, spread_frac=spread_frac)
    return needed * design_factor(each, correlation_frac=correlation_frac) / each


def _above(incidence_frac: float, target_frac: float) -> None:
    if not 0.0 < incidence_frac <= 1.0 or not target_frac > 0.0:
        raise ScoutingError(
            f"The incidence is {incidence_frac:g} and the target {target_frac:g}; both must be above 0.",
            remedy="Give the share you expect, and how well you want to know it.",
        )
