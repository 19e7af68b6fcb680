"""Two small chains whose answers are known exactly, told the way the sampler wants stories told."""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial import chance
from abaxial.assimilation import sampler
from abaxial.assimilation.proposals import Cloud, Parts
from abaxial.assimilation.sampler import Told
from abaxial.assimilation.special import normal_cdf_frac

Floats = NDArray[np.float64]


class Place(NamedTuple):
    """Where every version of a chain is, (versions,)."""

    value: Floats


@dataclass(frozen=True)
class Chain:
    """A chain of as many steps as there are looks; its moves come from luck, one number a step."""

    looks: Floats

    @property
    def parts(self) -> Parts:
        steps = self.looks.size
        return Parts(np.zeros(1, int), np.ones(steps, int), np.zeros(2, int), np.array([True, False]), 1, 1)

    def retell(self, cloud: Cloud, batch: int) -> tuple[Place, Floats, Floats]:
        state, old = self.begin(cloud), np.zeros((1, cloud.weather.size))
        for each in range(batch):
            state, more = self.tell(cloud, state, each)
            old = old + more
        state, new = self.tell(cloud, state, batch)
        return state, old, new

    def touched(self, batch: int) -> int:
        return batch + 1

    def choose(self, taken: NDArray[np.bool_], new: Place, old: Place) -> Place:
        return Place(np.where(taken[0], new.value, old.value))

    def pick(self, state: Place, order: NDArray[np.int64]) -> Place:
        return Place(state.value[order])


class LinearGaussian(Chain):
    """x begins standard normal, becomes 0.9 x + 0.5 noise, and is seen with standard normal noise."""

    def begin(self, cloud: Cloud) -> Place:
        return Place(cloud.known[:, 0])

    def tell(self, cloud: Cloud, state: Place, batch: int) -> tuple[Place, Floats]:
        value = 0.9 * state.value + 0.5 * cloud.luck[:, batch]
        return Place(value), (-0.5 * np.log(2.0 * np.pi) - 0.5 * (self.looks[batch] - value) ** 2)[np.newaxis]

    def exactly(self) -> tuple[float, float, float]:
        """Log evidence, last mean and last variance, by the Kalman filter."""
        mean, variance, evidence = 0.0, 1.0, 0.0
        for seen in self.looks:
            mean, variance = 0.9 * mean, 0.81 * variance + 0.25
            spread = variance + 1.0
            evidence += -0.5 * np.log(2.0 * np.pi * spread) - 0.5 * (seen - mean) ** 2 / spread
            mean, variance = mean + variance / spread * (seen - mean), variance / spread
        return evidence, mean, variance


TURN = np.array([[0.9, 0.08, 0.02], [0.1, 0.8, 0.1], [0.02, 0.18, 0.8]])
SHOWS = np.array([0.05, 0.3, 0.75])


class Hidden(Chain):
    """Three hidden states; each look finds rust (1) or not (0) with a chance that depends on the state."""

    def begin(self, cloud: Cloud) -> Place:
        return Place(np.floor(normal_cdf_frac(cloud.known[:, 0]) * 3.0))

    def tell(self, cloud: Cloud, state: Place, batch: int) -> tuple[Place, Floats]:
        reached = np.cumsum(TURN, axis=1)[state.value.astype(int)]
        now = (normal_cdf_frac(cloud.luck[:, batch])[:, np.newaxis] > reached[:, :2]).sum(axis=1)
        shows = SHOWS[now]
        return Place(now.astype(float)), np.log(shows if self.looks[batch] else 1.0 - shows)[np.newaxis]

    def exactly(self) -> tuple[float, Floats]:
        """Log evidence and the chances of the last state, by the forward recursion."""
        chances, evidence = np.full(3, 1.0 / 3.0), 0.0
        for seen in self.looks:
            chances = (chances @ TURN) * (SHOWS if seen else 1.0 - SHOWS)
            evidence += np.log(chances.sum())
            chances = chances / chances.sum()
        return evidence, chances


def told(story: Chain, versions: int, seed: int) -> Told[Place]:
    """A chain taken through all its looks, as equally likely versions."""
    known = chance.normals(seed, "known", 0, versions)[:, np.newaxis]
    luck = chance.block_normals(seed, "luck", 0, (versions, story.looks.size))
    cloud = Cloud(known, luck, np.zeros(versions, int), np.zeros((versions, 1), int))
    now = sampler.begin(story, cloud)
    for batch in range(story.looks.size):
        now = sampler.look(story, now, batch, seed)
    return sampler.equal(story, now, seed)
