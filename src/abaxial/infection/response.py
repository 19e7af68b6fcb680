"""How temperature speeds or stops a rust, and how many wet hours it then needs."""

from typing import Any

import numpy as np

from abaxial.compiled import exp, formula, log


@formula
def beta_response_frac(temperature_c: Any, minimum_c: Any, optimum_c: Any, maximum_c: Any) -> Any:
    """Speed at a temperature as a share of the speed at the optimum [0 to 1].

    temperature_c : any shape [°C]. minimum_c < optimum_c < maximum_c : cardinal temperatures [°C].
    Exactly 1 at the optimum, exactly 0 at and beyond minimum and maximum. Source: magarey2005, the beta function that
    yan1999 wrote for crops.
    """
    above = optimum_c - minimum_c
    below = maximum_c - optimum_c
    # kept a hair above zero, so that the logarithm is safe; the products below then vanish
    rise = np.maximum((temperature_c - minimum_c) / above, 1e-12)
    fall = np.maximum((maximum_c - temperature_c) / below, 0.0)
    inside = (temperature_c > minimum_c) * 1.0
    return inside * fall * exp(log(rise) * (above / below))


@formula
def required_wetness_h(
    temperature_c: Any, minimum_c: Any, optimum_c: Any, maximum_c: Any, at_optimum_h: Any, cap_h: Any
) -> Any:
    """Wet hours needed at a temperature [h], never more than `cap_h`.

    temperature_c : any shape [°C]. at_optimum_h : wet hours needed at the optimum [h]. cap_h : there the curve no
    longer says whether infection happens at all. Source: magarey2005.
    """
    speed = beta_response_frac(temperature_c, minimum_c, optimum_c, maximum_c)
    return np.minimum(at_optimum_h / np.maximum(speed, 1e-9), cap_h)


@formula
def infected_share_frac(progress_h: Any, first_wet_h: Any, full_wet_h: Any) -> Any:
    """Share of the spores on a leaf that are inside it after so many hours of wetness at the optimum [0 to 1].

    progress_h : any shape [h at the optimum]. first_wet_h : before this, none. full_wet_h : after this, 19 in 20.
    Source: the Weibull form of duthie1997 with exponent 2.
    """
    scaled = np.maximum(progress_h - first_wet_h, 0.0) / spread_h(first_wet_h, full_wet_h)
    return 1.0 - exp(-scaled * scaled)


@formula
def spread_h(first_wet_h: Any, full_wet_h: Any) -> Any:
    """Scale of the Weibull curve that is 0 at `first_wet_h` and 0.95 at `full_wet_h` [h]. The number is √ln 20."""
    return (full_wet_h - first_wet_h) / 1.7308183826022854
