"""A rust's ages as a chain: as many latent stages as its pustules open together, then the stages of a giving pustule."""

import numpy as np

#: a normal curve holds 98 in a hundred within this many standard deviations, end to end
_SPAN_SD = 4.652695748081682
#: stages of a pustule's life; its length then varies by half
SHOWING = 4
#: more latent stages than this hardly change the answer and cost time
MOST_LATENT = 16


def latent_stages(showing_span_d: float, latent_d: float) -> int:
    """How many equal stages spread one night's pustules over as many days, from the first to the last in a hundred.

    showing_span_d, latent_d : above 0 [d]. A chain of k stages has a standard deviation of 1/√k of its mean.
    """
    spread = showing_span_d / (_SPAN_SD * latent_d)
    return int(np.clip(round(spread**-2), 1, MOST_LATENT))
