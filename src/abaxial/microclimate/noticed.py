"""What the gardener noticed of wet leaves, held against the members: those that agree are kept more often."""

from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from abaxial import chance
from abaxial.microclimate.wetness import Wetness
from abaxial.weather.observations import WetnessObservation, wetness_likelihood

Floats = NDArray[np.float64]
#: below this chance a note contradicts a member
LEAST_CHANCE = 0.15
#: members by number, (members,)
Order = NDArray[np.int64]


def member_weights(
    noticed: Sequence[WetnessObservation], wetness: Wetness, rows: Mapping[str, Sequence[int]], first_hour: int
) -> Floats:
    """How well each member agrees with what was noticed, (members,), adding up to 1.

    rows : the leaves of each bed, lower and upper in turn; "" stands for all. first_hour : of wetness. Notes of hours
    outside, or of beds without leaves, say nothing.
    """
    logarithm = np.zeros(wetness.wet_lower_frac.shape[2])
    for _, chance_frac in _chances(noticed, wetness, rows, first_hour):
        logarithm += np.log(chance_frac)
    weights = np.exp(logarithm - logarithm.max())
    return np.asarray(weights / weights.sum())


def contradicted(
    noticed: Sequence[WetnessObservation], wetness: Wetness, rows: Mapping[str, Sequence[int]], first_hour: int
) -> tuple[WetnessObservation, ...]:
    """Notes that no member agrees with: even the best gives them a chance below LEAST_CHANCE. Arguments as above."""
    chances = _chances(noticed, wetness, rows, first_hour)
    return tuple(note for note, chance_frac in chances if chance_frac.max() < LEAST_CHANCE)


def kept_members(weights: Floats, seed: int) -> Order:
    """Which member stands at each place after the noticing, (members,): systematic resampling, so that a member of weight
    w is kept about w times the number of members. All weights equal: everyone stays in place."""
    members = weights.size
    if np.allclose(weights, 1.0 / members):
        return np.arange(members)
    start = chance.uniforms(seed, "members kept after wetness notes", 0, 1)[0]
    ladder = (np.arange(members) + start) / members
    return np.asarray(np.minimum(np.searchsorted(np.cumsum(weights), ladder), members - 1), np.int64)


def _chances(
    noticed: Sequence[WetnessObservation], wetness: Wetness, rows: Mapping[str, Sequence[int]], first_hour: int
) -> Iterator[tuple[WetnessObservation, Floats]]:
    """Each note that can be judged, with its chance in every member, (members,)."""
    hours = wetness.wet_lower_frac.shape[1]
    for note in noticed:
        hour, leaves = note.hour - first_hour, _leaves_meant(note, rows)
        if 0 <= hour < hours and leaves:
            wet = np.maximum(wetness.wet_upper_frac, wetness.wet_lower_frac)[leaves, hour].mean(axis=0)
            yield note, wetness_likelihood(note.state, wet)


def _leaves_meant(note: WetnessObservation, rows: Mapping[str, Sequence[int]]) -> list[int]:
    leaves = list(rows.get(note.bed, ()))
    if note.level == "lower":
        return leaves[0::2]
    return leaves[1::2] if note.level == "upper" else leaves
