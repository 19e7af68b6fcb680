"""Whether rust stands in clumps or anywhere: indices of counts, two distributions fitted, and likeness of neighbours."""

from abaxial.scouting.aggregation.beta_binomial import (
    BetaBinomial,
    fit_beta_binomial,
    shapes_of,
)
from abaxial.scouting.aggregation.dispersion import (
    CountDispersion,
    Dispersion,
    chi_square_score,
    dispersion,
    dispersion_of_counts,
    patchiness,
)
from abaxial.scouting.aggregation.negative_binomial import NegativeBinomial, fit_negative_binomial
from abaxial.scouting.aggregation.pattern import (
    DIVISORS,
    PowerLaw,
    PowerLawScales,
    autocorrelation,
    fit_power_law,
    power_law_scales,
    power_law_variance_frac,
)

__all__ = [
    "DIVISORS", "BetaBinomial", "CountDispersion", "Dispersion", "NegativeBinomial", "PowerLaw", "PowerLawScales",
    "autocorrelation", "chi_square_score", "dispersion",
    "dispersion_of_counts", "fit_beta_binomial", "fit_negative_binomial", "fit_power_law", "patchiness",
    "power_law_scales", "power_law_variance_frac", "shapes_of",
]  # fmt: skip
