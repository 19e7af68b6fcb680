"""A garden's season as a story the sampler can tell: run the epidemic to a walk, and ask how well it explains the looks."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.assimilation import likelihood, unknowns
from abaxial.assimilation.likelihood import Predicted
from abaxial.assimilation.looks import Looks, read_looks
from abaxial.assimilation.proposals import Cloud, Parts
from abaxial.assimilation.unknowns import Unknowns
from abaxial.epidemic import simulate
from abaxial.epidemic.kernel import LOWER, OUTS, PARTS, UPPER, VISIBLE_OUT, WHOLE, Rows, Versions
from abaxial.epidemic.simulate import Season
from abaxial.scouting.sightings import Sighting

Floats = NDArray[np.float64]
WEEK_D = 7


class Look(NamedTuple):
    """One sighting at one planting. planting : its number. day : the garden day that ended as the leaves were turned.
    plants : how many stand there, None where that is not known."""

    sighting: Sighting
    planting: int
    day: int
    plants: int | None = None

    @property
    def part(self) -> str:
        """The leaves that speak for the part looked at: a stem's are the lower ones."""
        return "lower" if self.sighting.part == "stem" else self.sighting.part

    @property
    def worth(self) -> Looks:
        """What it is worth."""
        return read_looks().for_plants(self.sighting, self.plants)


class Then(NamedTuple):
    """Every version at the end of a day. rows : the epidemic's state. record : (2, plantings, parts, 2, versions) latent
    and showing shares, a week before and then. day : how many days have been run."""

    rows: Rows
    versions: Versions
    record: Rows
    day: int


@dataclass(frozen=True)
class GardenStory:
    """The season of one garden with all looks at it. batches : the looks of each walk's day, in order of time.
    parts : what hangs together."""

    season: Season
    unknowns: Unknowns
    batches: tuple[tuple[Look, ...], ...]
    parts: Parts

    def begin(self, cloud: Cloud) -> Then:
        """Every version before the first day."""
        count = cloud.weather.size
        record = np.zeros((2, self.season.plantings, PARTS, OUTS, count), np.float32)
        versions = unknowns.versions_of(self.unknowns, cloud, self.season.by_strength)
        return Then(simulate.clean(self.season, count), versions, record, 0)

    def tell(self, cloud: Cloud, state: Then, batch: int) -> tuple[Then, Floats]:
        """Go on from an earlier walk to this one."""
        looks = self.batches[batch]
        last = looks[0].day
        days, rows = sorted({max(last - WEEK_D, state.day), last}), state.rows.copy()
        record = simulate.run(
            self.season, state.versions, rows, first_day=state.day, end_day=last + 1, record_days=days
        )
        # within a week of the walk before, that walk's own record is the nearest there is
        before = state.record[1] if last - WEEK_D < state.day else record[0]
        then = Then(rows, state.versions, np.stack([before, record[-1]]), last + 1)
        return then, self._weigh(self.worn(cloud), then.record, looks)

    def retell(self, cloud: Cloud, batch: int) -> tuple[Then, Floats, Floats]:
        """From the first day to a walk in one go."""
        state = self.begin(cloud)
        lasts = [looks[0].day for looks in self.batches[: batch + 1]]
        earlier = [self._week_before(number) for number in range(batch + 1)]
        days = sorted({*lasts, *(each for each in earlier if each >= 0)})
        rows = state.rows
        record = simulate.run(self.season, state.versions, rows, first_day=0, end_day=lasts[-1] + 1, record_days=days)
        old, worn = np.zeros((self.parts.how_many, cloud.weather.size)), self.worn(cloud)
        for number, looks in enumerate(self.batches[: batch + 1]):
            before = record[days.index(earlier[number])] if earlier[number] >= 0 else np.zeros_like(record[0])
            pair = np.stack([before, record[days.index(lasts[number])]])
            new = self._weigh(worn, pair, looks)
            old = old + new
        return Then(rows, state.versions, pair, lasts[-1] + 1), old - new, new

    def touched(self, batch: int) -> int:
        """Luck of the weeks up to a walk."""
        weeks = self.batches[batch][0].day // WEEK_D + 1
        return weeks * self.season.plantings

    def choose(self, taken: NDArray[np.bool_], new: Then, old: Then) -> Then:
        """The new state where a rust's part was taken, else the old one."""
        by_planting = taken[self.season.drivers.rust]
        versions = Versions._make(
            np.where(_fitting(name, taken, by_planting), getattr(new.versions, name), getattr(old.versions, name))
            for name in Versions._fields
        )
        rows = np.where(by_planting[:, np.newaxis], new.rows, old.rows)
        record = np.where(by_planting[np.newaxis, :, np.newaxis, np.newaxis], new.record, old.record)
        return Then(rows, versions, record, old.day)

    def pick(self, state: Then, order: NDArray[np.int64]) -> Then:
        """The states of some versions, in an order."""
        versions = Versions._make(np.ascontiguousarray(each[..., order]) for each in state.versions)
        return Then(
            np.ascontiguousarray(state.rows[..., order]), versions, np.ascontiguousarray(state.record[..., order]),
            state.day,
        )  # fmt: skip

    def worn(self, cloud: Cloud) -> Floats:
        """The unknowns in their own units, (versions, unknowns)."""
        return self.unknowns.values(cloud.known)

    def predicted(self, worn: Floats, record: Rows, planting: int, part: str) -> Predicted:
        """What a look at a part of a planting would meet. record : (plantings, parts, 2, versions) of one day."""
        rust = self.unknowns.rusts[self._part(planting)]
        shows = of_part(record[planting, :, VISIBLE_OUT], part)
        return bearing(self.unknowns, worn, rust)._replace(visible_frac=shows)

    def _part(self, planting: int) -> int:
        return int(self.season.drivers.rust[planting])

    def _week_before(self, batch: int) -> int:
        """The day whose record stands for a week before a walk; as in `tell`."""
        last = self.batches[batch][0].day
        walked = self.batches[batch - 1][0].day + 1 if batch else 0
        if last - WEEK_D < walked:
            return walked - 1
        return last - WEEK_D

    def _weigh(self, worn: Floats, record: Rows, looks: Sequence[Look]) -> Floats:
        total = np.zeros((self.parts.how_many, worn.shape[0]))
        for look in looks:
            now = self.predicted(worn, record[1], look.planting, look.part)
            before = None
            if look.sighting.amount == "first":
                before = now._replace(visible_frac=of_part(record[0][look.planting, :, VISIBLE_OUT], look.part))
            total[self._part(look.planting)] += likelihood.log_likelihood(look.sighting, now, before, looks=look.worth)
        return total


def bearing(unknowns: Unknowns, worn: Floats, rust: str) -> Predicted:
    """What the leaves of a rust's plantings, and whoever looks at them, are like in every version; nothing shows yet.

    worn : the unknowns in their own units, (versions, unknowns).
    """
    return Predicted(
        visible_frac=np.zeros(len(worn)),
        lesion_frac=worn[:, unknowns.column_of("lesion_frac", rust)],
        clumping=worn[:, unknowns.column_of("clumping", rust)],
        detection_frac=worn[:, unknowns.column_of("detection_frac")],
        rater_log_bias=np.log(worn[:, unknowns.column_of("rater_factor")]),
    )


def _fitting(name: str, taken: NDArray[np.bool_], by_planting: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """What was taken, in the shape of one of the versions' numbers."""
    if name in ("member", "wet_stretch", "remedy_factor"):
        return np.asarray(taken[0])
    if name == "luck":
        return by_planting[:, np.newaxis]
    return by_planting if name in ("start_frac", "vigour") else taken


def of_part(shares: Rows, part: str) -> Floats:
    """A share of leaf area at one part of a planting, (versions,). shares : (parts, versions); "any" is all leaves."""
    place = {"lower": LOWER, "upper": UPPER}.get(part, WHOLE)
    return np.asarray(shares[place], np.float64)


def batches_of(looks: Sequence[Look]) -> tuple[tuple[Look, ...], ...]:
    """Looks put together by day, in order of time."""
    days = sorted({each.day for each in looks})
    return tuple(tuple(each for each in looks if each.day == day) for day in days)
