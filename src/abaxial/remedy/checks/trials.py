"""Our materials put through the trials that others made, from their central values: for checks and explanations."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.remedy import effect, residue, resistance
from abaxial.remedy.application import Application
from abaxial.remedy.effect import Stand
from abaxial.remedy.material import cross_resistant, read_material

Floats = NDArray[np.float64]
#: leaves that hang on a shoot, half of them in each level
_LEAVES = 8.0
#: sprays before the interval that is judged
_BEFORE = 3


def kept_out_after_frac(material: str, days_d: Sequence[int], rain_mm: float) -> Floats:
    """Share of infections kept out so many days after one full spray, on the leaves that were sprayed [0 to 1].

    material : its key. days_d : whole days, 0 or more. rain_mm : that fell on the first of them after the spray.
    """
    days = np.asarray(days_d, int)
    rain = np.zeros((1, int(days.max()) + 2))
    rain[0, 1] = rain_mm
    kept = _kept_out([(0, (material,))], effect.stand(rain, np.zeros((2, rain.shape[1]))))
    return np.asarray(kept[1, 0, days])


def healed_after_frac(material: str, age_d: ArrayLike) -> Floats:
    """Share of infections of an age healed by one full spray [0 to 1]. material : its key. age_d : any shape."""
    return effect.cured_frac(read_material(material), age_d, 1.0)


def stopped_germination_frac(material: str) -> float:
    """Share of spores on a fresh deposit that do not germinate [0 to 1]; 0 for what does not keep rust out."""
    found = read_material(material)
    return found["germination_frac"] if found.protectant else 0.0


def gap_kept_out_frac(materials: Sequence[str], interval_d: int, leaf_interval_d: float, rain_mm_d: float) -> float:
    """Share of infections kept out between two sprays of a long row at one interval, as a mean [0 to 1].

    materials : keys of what is in the tank. interval_d : days from spray to spray. leaf_interval_d : days from leaf to
    leaf. rain_mm_d : of every day. Eight leaves hang on a shoot; half of them make a level. All faces are wetted.
    """
    days = interval_d * (_BEFORE + 1)
    new = np.full((2, days), 2.0 / _LEAVES / leaf_interval_d)
    uses = [(interval_d * each, tuple(materials)) for each in range(_BEFORE + 1)]
    kept = _kept_out(uses, effect.stand(np.full((1, days), rain_mm_d), new))
    return float(kept[:, 0, interval_d * _BEFORE :].mean())


def worst_kept_out_frac(materials: Sequence[str], interval_d: int, leaf_interval_d: float, rain_mm_d: float) -> float:
    """The same on the last day before the next spray, in the upper level [0 to 1]."""
    days = interval_d * (_BEFORE + 1)
    new = np.full((2, days), 2.0 / _LEAVES / leaf_interval_d)
    uses = [(interval_d * each, tuple(materials)) for each in range(_BEFORE + 1)]
    return float(_kept_out(uses, effect.stand(np.full((1, days), rain_mm_d), new))[1, 0, -1])


def rain_left_frac(material: str, rain_mm: Sequence[float]) -> Floats:
    """Share of a dried deposit left after rain [0 to 1]. material : its key. rain_mm : shape (cases,)."""
    return residue.washed_left_frac(rain_mm, read_material(material)["half_wash_mm"])


def soon_rain_left_frac(material: str, rain_mm: float, soon_frac: float) -> float:
    """Share of a deposit left at the end of its first day [0 to 1].

    rain_mm : of that day after the spray. soon_frac : share of it that fell before the deposit was rain-fast.
    """
    use = Application(0, (material,), 1.0, 1.0, 1.0, soon_frac)
    return float(residue.left_frac(read_material(material), use, np.array([[float(rain_mm)]]))[0, 0])


def counts_as_one(first: str, second: str) -> float:
    """1 where two materials are the same to a rust, because they share a FRAC code, else 0."""
    return float(cross_resistant(read_material(first), read_material(second)))


def counts_against_rust(material: str) -> float:
    """1 where a spray of it counts as one against rust, else 0. material : its key."""
    return float(read_material(material).acts_on_rust)


def apart_d(material: str, other: str) -> float:
    """Days that must lie between a material and another kind, or material [d]; 0 where its file says nothing."""
    return float(read_material(material).apart.get(other, 0))


def selection_of_sprays(code: str, tanks: Sequence[str], interval_d: int) -> float:
    """Selection of a code by a row of full sprays in dry weather on leaves that stay.

    tanks : what each holds in turn, keys joined by "+". interval_d : days from spray to spray, and after the last.
    """
    keys = {key for tank in tanks for key in tank.split("+")}
    days = interval_d * len(tanks)
    uses = [Application(interval_d * row, tuple(tank.split("+")), 1.0, 1.0, 1.0) for row, tank in enumerate(tanks)]
    of = effect.stand(np.zeros((1, days)), np.zeros((2, days)))
    known = {key: read_material(key) for key in keys}
    growth = residue.constants("resistance")["growth_per_d"].value
    (shift,) = resistance.selections([uses], known, of, latent_d=10.0, growth_per_d=growth)
    return shift.get(code, 0.0)


def turns_over_solo(code: str, solo: Sequence[str], turns: Sequence[str], interval_d: int) -> float:
    """Selection of a code by one row of tanks over that by another, as in `selection_of_sprays` [a multiplier]."""
    return selection_of_sprays(code, turns, interval_d) / selection_of_sprays(code, solo, interval_d)


def lost_by_waiting_frac(material: str, early_d: int, late_d: int) -> float:
    """By how much less a dry spray keeps out the later infection comes [0 to 1]. early_d, late_d : whole days."""
    early, late = kept_out_after_frac(material, [early_d, late_d], 0.0)
    return float(early - late)


def healed_less_with_age_frac(material: str, young_d: float, old_d: float) -> float:
    """By how much less a spray heals of older infections [0 to 1]. young_d, old_d : days since the infection."""
    young, old = healed_after_frac(material, [young_d, old_d])
    return float(young - old)


def better_by_frac(one: str, other: str) -> float:
    """By how much more of the infections one material keeps out than another, a day after the spray [−1 to 1]."""
    return float(kept_out_after_frac(one, [1], 0.0)[0] - kept_out_after_frac(other, [1], 0.0)[0])


def better_in_rain_frac(one: str, other: str, rain_mm: float) -> float:
    """By how much more of a deposit of one is left after rain than of another [−1 to 1]. rain_mm : 0 or more."""
    return float(rain_left_frac(one, [rain_mm])[0] - rain_left_frac(other, [rain_mm])[0])


def gap_better_by_frac(
    one: Sequence[str],
    one_interval_d: int,
    other: Sequence[str],
    other_interval_d: int,
    leaf_interval_d: float,
    rain_mm_d: float,
) -> float:
    """By how much more one row of sprays keeps out than another, as in `gap_kept_out_frac` [−1 to 1]."""
    first = gap_kept_out_frac(one, one_interval_d, leaf_interval_d, rain_mm_d)
    return first - gap_kept_out_frac(other, other_interval_d, leaf_interval_d, rain_mm_d)


def first_over_second_wash(material: str, rain_mm: float) -> float:
    """What the first millimetres take over what as many more take [a multiplier]. rain_mm : above 0."""
    once, twice = rain_left_frac(material, [rain_mm, 2.0 * rain_mm])
    return float((1.0 - once) / (once - twice))


def soon_over_late_left(material: str, rain_mm: float) -> float:
    """What rain leaves of a deposit not yet rain-fast over what it leaves of a dried one [a multiplier]."""
    return soon_rain_left_frac(material, rain_mm, 1.0) / soon_rain_left_frac(material, rain_mm, 0.0)


def half_wash_of_mm(material: str) -> float:
    """Rain that takes half of a dried deposit [mm]. material : its key."""
    return read_material(material)["half_wash_mm"]


def _kept_out(uses: Sequence[tuple[int, tuple[str, ...]]], of: Stand) -> Floats:
    """(2, members, days), full sprays that wet everything."""
    course = [Application(day, keys, 1.0, 1.0, 1.0) for day, keys in uses]
    known = {key: read_material(key) for _, keys in uses for key in keys}
    return np.asarray(-np.expm1(-effect.protections([course], known, of, latent_d=10.0).shield[0]))
