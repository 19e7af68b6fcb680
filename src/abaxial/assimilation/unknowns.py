"""What is not known of a garden, written as standard normal numbers, so that every version before looking is equally likely.

Three belong to the whole garden, eight to each rust, two to each planting. Besides them every version has its own luck
in each planting and week, its own weather and its own biology.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from abaxial import chance
from abaxial.assimilation.proposals import GARDEN, Cloud, Parts
from abaxial.assimilation.special import normal_cdf_frac
from abaxial.epidemic import stages
from abaxial.epidemic.kernel import Versions
from abaxial.infection.pathogen import Pathogen
from abaxial.provenance import Parameter, read_parameter, read_table

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
_FILE = Path(__file__).parent / "unknowns.toml"
#: nine in ten of a normal curve lie within this many standard deviations
_NINE_IN_TEN_SD = 1.6448536269514722
_IN_GARDEN = ("wet_stretch", "detection_frac", "rater_factor")
_OF_RUST = (
    "local_infection_per_d",
    "arrival_per_d",
    "latent_factor",
    "infectious_period_d",
    "lesion_frac",
    "clumping",
    "burst",
    "burst_day",
)
_OF_PLANTING = ("start_frac", "vigour")
#: the largest share of a planting that may be rusted before its record begins
_MOST_START_FRAC = 0.8


@dataclass(frozen=True)
class Unknowns:
    """The unknowns of one garden. names, of : (unknowns,) what each is, and the rust or planting it belongs to ("" for
    the garden). rusts, plantings : their keys and names. rust_of : (plantings,) number of each one's rust. days : of the season."""

    names: tuple[str, ...]
    of: tuple[str, ...]
    centre: Floats
    spread: Floats
    is_share: NDArray[np.bool_]
    rusts: tuple[str, ...]
    plantings: tuple[str, ...]
    rust_of: Whole
    dead_fall_frac: Floats
    days: int
    luck_log_sd: float

    @property
    def weeks(self) -> int:
        """How many weeks the season has, the last perhaps not whole."""
        return -(-self.days // 7)

    def values(self, known: Floats) -> Floats:
        """The unknowns in their own units, (versions, unknowns)."""
        with np.errstate(over="ignore"):
            inner = self.centre + self.spread * known
            worn = np.where(self.is_share, 1.0 / (1.0 + np.exp(-inner)), np.exp(np.minimum(inner, 50.0)))
        for place, name in enumerate(self.names):
            if name == "burst_day":
                worn[:, place] = np.floor(normal_cdf_frac(known[:, place]) * self.days)
            if name == "start_frac":
                worn[:, place] = np.minimum(worn[:, place], _MOST_START_FRAC)
        return np.asarray(worn)

    def column_of(self, name: str, of: str = "") -> int:
        """The place of one unknown."""
        return self._places[name, of]

    @cached_property
    def _places(self) -> dict[tuple[str, str], int]:
        return {each: place for place, each in enumerate(zip(self.names, self.of, strict=True))}

    def columns_of(self, name: str) -> list[int]:
        """The places of an unknown that each rust or planting has."""
        return [i for i, each in enumerate(self.names) if each == name]


@cache
def priors() -> dict[str, Parameter]:
    """What is held of a garden before anybody looked, by name. Source: unknowns.toml, which gives one for each."""
    table = read_table(_FILE)
    return {
        name: read_parameter(name, entry, limits=(0.0, 100.0), path=_FILE)
        for part in ("garden", "rust", "planting", "week")
        for name, entry in table[part].items()
    }


def unknowns_of(rusts: Sequence[Pathogen], plantings: Sequence[tuple[str, int]], days: int) -> Unknowns:
    """The unknowns of a garden. plantings : name of each, and the number of its rust."""
    held = priors()
    rows: list[tuple[str, str, Parameter | None]] = [(name, "", held[name]) for name in _IN_GARDEN]
    for rust in rusts:
        own = {**rust.epidemic, **held}
        rows.extend((name, rust.key, own.get(name)) for name in _OF_RUST)
    for planting, number in plantings:
        own = {**rusts[number].epidemic, **held}
        rows.extend((name, planting, own[name]) for name in _OF_PLANTING)
    names, of, parameters = zip(*rows, strict=True)
    is_share = np.array([name == "detection_frac" for name in names])
    centre, spread = zip(*(_normal(each, share) for each, share in zip(parameters, is_share, strict=True)), strict=True)
    return Unknowns(
        names=tuple(names),
        of=tuple(of),
        centre=np.array(centre),
        spread=np.array(spread),
        is_share=is_share,
        rusts=tuple(rust.key for rust in rusts),
        plantings=tuple(name for name, _ in plantings),
        rust_of=np.array([number for _, number in plantings], np.int64),
        dead_fall_frac=np.array([rust.epidemic["dead_fall_per_d"].value for rust in rusts]),
        days=days,
        luck_log_sd=_normal(held["luck"], is_share=False)[1],
    )


def parts_of(unknowns: Unknowns, weathers: int, biologies: int) -> Parts:
    """What hangs together in a garden. weathers, biologies : how many members, and versions of the biology on each."""
    rusts = len(unknowns.rusts)
    places = {("rust", key): number for number, key in enumerate(unknowns.rusts)}
    places |= {("planting", name): rusts + number for number, name in enumerate(unknowns.plantings)}
    units = [
        GARDEN if name in _IN_GARDEN else places["planting" if name in _OF_PLANTING else "rust", of]
        for name, of in zip(unknowns.names, unknowns.of, strict=True)
    ]
    return Parts(
        known_unit=np.array(units, np.int64),
        luck_unit=np.tile(rusts + np.arange(len(unknowns.plantings)), unknowns.weeks),
        unit_part=np.concatenate([np.arange(rusts), unknowns.rust_of]),
        is_rust=np.arange(rusts + len(unknowns.plantings)) < rusts,
        weathers=weathers,
        biologies=biologies,
    )


def before_looking(unknowns: Unknowns, versions: int, parts: Parts, seed: int) -> Cloud:
    """Equally likely versions of a garden that nobody has looked at."""
    named = zip(unknowns.names, unknowns.of, strict=True)
    known = np.stack([chance.normals(seed, f"{name}/{of}", 0, versions) for name, of in named], axis=1)
    # each planting's own, so that one more planting changes nobody else's
    weeks = [chance.block_normals(seed, f"luck/{name}", 0, (versions, unknowns.weeks)) for name in unknowns.plantings]
    luck = np.stack(weeks, axis=2).reshape(versions, -1)
    biology = [(chance.stratified(seed, f"biology/{key}", versions) * parts.biologies) for key in unknowns.rusts]
    # versions under one weather side by side: they read the same part of memory
    weather = np.arange(versions) * parts.weathers // versions
    return Cloud(known, luck, weather, np.stack(biology, axis=1).astype(np.int64))


def versions_of(unknowns: Unknowns, cloud: Cloud, by_strength: Whole) -> Versions:
    """What the epidemic needs of every version. by_strength : (rusts, weathers, biologies) from simulate.by_strength."""
    worn = unknowns.values(cloud.known).T
    count = cloud.weather.size

    def each(name: str) -> NDArray[np.float32]:
        return np.ascontiguousarray(worn[unknowns.columns_of(name)], np.float32)

    plantings, weeks = len(unknowns.plantings), unknowns.weeks
    luck = np.exp(unknowns.luck_log_sd * cloud.luck.T - 0.5 * unknowns.luck_log_sd**2).reshape(weeks, plantings, count)
    return Versions(
        member=cloud.weather,
        draw=np.stack([order[cloud.weather, rank] for order, rank in zip(by_strength, cloud.biology.T, strict=True)]),
        local_infection_per_d=each("local_infection_per_d"),
        arrival_per_d=each("arrival_per_d"),
        latent_factor=each("latent_factor"),
        giving_per_d=np.float32(stages.SHOWING) / each("infectious_period_d"),
        dead_fall_frac=np.repeat(unknowns.dead_fall_frac[:, None], count, axis=1).astype(np.float32),
        burst=each("burst"),
        burst_day=np.ascontiguousarray(worn[unknowns.columns_of("burst_day")].astype(np.int64)),
        wet_stretch=each("wet_stretch")[0],
        start_frac=each("start_frac"),
        vigour=each("vigour"),
        luck=np.ascontiguousarray(np.moveaxis(luck, 0, 1), np.float32),
        lesion_frac=each("lesion_frac"),
        clumping=each("clumping"),
        remedy_factor=np.ones(count, np.float32),
    )


def _normal(parameter: Parameter | None, is_share: bool) -> tuple[float, float]:
    """Centre and standard deviation of the logarithm, or for a share of the log odds, from a value and its 90 % range."""
    if parameter is None:
        return 0.0, 1.0
    low, mid, high = (max(each, 1e-12) for each in (parameter.low, parameter.value, parameter.high))
    if is_share:
        low, mid, high = (each / (1.0 - each) for each in (low, mid, high))
    return float(np.log(mid)), float(np.log(high / low) / (2.0 * _NINE_IN_TEN_SD))
