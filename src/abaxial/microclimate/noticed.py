"""What the gardener noticed of wet leaves, held against the members: those that agree are kept more often."""

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from abaxial import chance
from abaxial.microclimate.wetness import Wetness
from abaxial.weather.observations import WetnessObservation, wetness_likelihood

Floats = NDArray[np.float64]
#: members by number, (members,)
Order = NDArray[np.int64]


def member_weights(
    noticed: Sequence[WetnessObservation], wetness: Wetness, rows: Mapping[str, Sequence[int]], first_hour: int
) -> Floats:
    """How well each member agrees with what was noticed, (members,), adding up to 1.

    rows : the leaves of each bed, lower and upper in turn; "" stands for all. first_hour : of wetness. Notes of hours
    outside, or of beds without leaves, say nothing.
    """
    hours, members = wetness.wet_lower_frac.shape[1:]
    logarithm = np.zeros(members)
    for note in noticed:
        hour, leaves = note.hour - first_hour, _leaves_meant(note, rows)
        if 0 <= hour < hours and leaves:
            wet = np.maximum(wetness.wet_upper_frac, wetness.wet_lower_frac)[leaves, hour].mean(axis=0)
            logarithm += np.log(wetness_likelihood(note.state, wet))
    weights = np.exp(logarithm - logarithm.max())
    return np.asarray(weights / weights.sum())


def kept_members(weights: Floats, seed: int) -> Order:
    """Which member stands at each place after the noticing, (members,): systematic resampling, so that a member of weight
    w is kept about w times the number of members. All weights equal: everyone stays in place."""
    members = weights.size
    if np.allclose(weights, 1.0 / members):
        return np.arange(members)
    start = chance.uniforms(seed, "members kept after wetness notes", 0, 1)[0]
    ladder = (np.arange(members) + start) / members
    return np.asarray(np.minimum(np.searchsorted(np.cumsum(weights), ladder), members - 1), np.int64)


def _leaves_meant(note: WetnessObservation, rows: Mapping[str, Sequence[int]]) -> list[int]:
    leaves = list(rows.get(note.bed, ()))
    if note.level == "lower":
        return leaves[0::2]
    return leaves[1::2] if note.level == "upper" else leaves
