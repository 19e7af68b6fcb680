"""Indices of dispersion: how much counts vary from unit to unit, against what chance alone would do."""

import math
from dataclasses import dataclass

from numpy.typing import ArrayLike

from abaxial.errors import ScoutingError
from abaxial.scouting.aggregation.tally import counted, counted_of, normal_tail_frac, rusted_frac


@dataclass(frozen=True)
class Dispersion:
    """Counts out of a number, against the binomial.

    mean_frac : share rusted over all. index : variance over the binomial's, 1 where chance alone is at work, more where
    rust stands in clumps. chi_square, degrees_of_freedom : the index's test. c_alpha_score : of the C(α) test, standard
    normal where chance alone is at work. c_alpha_chance_frac : chance of so large a score then. correlation : likeness of
    two in one unit by moments, 0 where there is none; nothing where units differ in size.
    """

    mean_frac: float
    index: float
    chi_square: float
    degrees_of_freedom: int
    c_alpha_score: float
    c_alpha_chance_frac: float
    correlation: float | None


@dataclass(frozen=True)
class CountDispersion:
    """Counts without a limit, against the Poisson.

    mean_count : per unit. index : variance over mean. chi_square, degrees_of_freedom, score : its test, the score
    standard normal where chance alone is at work and units are many. patchiness : Lloyd's, crowding over mean.
    """

    mean_count: float
    index: float
    chi_square: float
    degrees_of_freedom: int
    score: float
    patchiness: float


def dispersion(found: ArrayLike, turned: ArrayLike, *, times: ArrayLike | None = None) -> Dispersion:
    """How clumped rust is among units in which several were looked at.

    found : (units,) rusted. turned : looked at in each, one number or (units,). times : (units,) how often that was
    found; once, where not given. Source: delponte2023, madden2007. Raises ScoutingError where none or all were rusted.
    """
    tally = counted_of(found, turned, times)
    share = rusted_frac(tally)
    of, often = tally.turned.astype(float), tally.times
    apart = (tally.found - of * share) ** 2 / (share * (1.0 - share))
    units = int(often.sum())
    chi_square = float(often @ (apart / of))
    pairs = float(often @ (of * (of - 1.0)))
    score = float(often @ (apart - of)) / math.sqrt(2.0 * pairs)
    index = chi_square / (units - 1)
    same = bool((of == of[0]).all())
    return Dispersion(
        mean_frac=share,
        index=index,
        chi_square=chi_square,
        degrees_of_freedom=units - 1,
        c_alpha_score=score,
        c_alpha_chance_frac=normal_tail_frac(score),
        correlation=(index - 1.0) / (float(of[0]) - 1.0) if same else None,
    )


def dispersion_of_counts(count: ArrayLike, *, times: ArrayLike | None = None) -> CountDispersion:
    """How clumped counts are that have no limit, such as pustules on a leaf.

    count : (units,), not all 0. times : as in dispersion. Source: delponte2023.
    """
    tally = counted(count, times)
    units = int(tally.times.sum())
    mean = float(tally.times @ tally.found) / units
    if mean == 0.0:
        raise ScoutingError(
            "Clumping cannot be told where nothing was counted.", remedy="Look again when there is rust."
        )
    index = float(tally.times @ (tally.found - mean) ** 2) / (units - 1) / mean
    return CountDispersion(
        mean, index, index * (units - 1), units - 1, chi_square_score(index * (units - 1), units - 1),
        patchiness(index, mean),
    )  # fmt: skip


def patchiness(index: float, mean_count: float) -> float:
    """Lloyd's patchiness: how many neighbours one has in its unit, against what chance would give [1 where as chance].

    index : variance over mean. mean_count : per unit, above 0. Source: delponte2023.
    """
    return 1.0 + (index - 1.0) / mean_count


def chi_square_score(chi_square: float, degrees_of_freedom: int) -> float:
    """Normal score of a chi-square with many degrees of freedom. Source: delponte2023."""
    return math.sqrt(2.0 * chi_square) - math.sqrt(2.0 * degrees_of_freedom - 1.0)
