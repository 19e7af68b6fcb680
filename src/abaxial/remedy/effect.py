"""What sprays do to rust: the shield they are to leaves that rust has not entered, and the cure of what is in."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from abaxial.errors import FaultError
from abaxial.remedy import residue
from abaxial.remedy.application import Application
from abaxial.remedy.material import Material

Floats = NDArray[np.float64]
#: applications, in order of time
Uses = tuple[Application, ...]
#: ages at which a cure is asked, spread evenly over its reach
_AGES = (np.arange(24) + 0.5) / 24.0


class Protection(NamedTuple):
    """What sprays do, day by day; of many courses at once it has their axis first.

    shield : (2, members, days) −ln(share of infections that still get in), lower level then upper. cure : (days,)
    −ln(share of latent tissue within reach that is left). reach_frac : (days,) how far along its latent path tissue can
    be and still be within reach.
    """

    shield: Floats
    cure: Floats
    reach_frac: Floats


@dataclass(frozen=True)
class Stand:
    """The leaves and the rain of one planting, and what has been worked out for them.

    rain_mm : (members, days). new_frac : (2, days), as in `residue.carry`.
    """

    rain_mm: Floats
    new_frac: Floats
    _carried: dict[float, residue.Carry] = field(default_factory=dict, repr=False)
    _left: dict[tuple[str, int, float | None], Floats] = field(default_factory=dict, repr=False)
    _shields: dict[tuple[str, Uses], Floats] = field(default_factory=dict, repr=False)
    _cures: dict[tuple[Uses, float], tuple[float, float]] = field(default_factory=dict, repr=False)

    def under(self, new_frac: Floats) -> "Stand":
        """Other leaves in the same rain; what it leaves of a spray is worked out once for both. new_frac : (2, days).

        Raises FaultError as `stand` does.
        """
        return replace(stand(self.rain_mm, new_frac), _left=self._left)

    def carry(self, material: Material) -> residue.Carry:
        """`residue.carry` of a material, worked out once."""
        to_new = material["to_new_frac"]
        if to_new not in self._carried:
            self._carried[to_new] = residue.carry(self.new_frac, to_new)
        return self._carried[to_new]

    def left_frac(self, material: Material, application: Application) -> Floats:
        """`residue.left_frac` of an application, worked out once."""
        which = (material.key, application.day, application.soon_frac)
        if which not in self._left:
            self._left[which] = residue.left_frac(material, application, self.rain_mm)
        return self._left[which]

    def shield(self, material: Material, uses: Uses) -> Floats:
        """What all uses of a material are to leaves that rust has not entered, as in Protection, worked out once."""
        if (material.key, uses) not in self._shields:
            self._shields[material.key, uses] = -np.log1p(-_kept_out(material, uses, self))
        return self._shields[material.key, uses]

    def cure(self, today: Uses, materials: Mapping[str, Material], latent_d: float) -> tuple[float, float]:
        """Cure and its reach on the day of some applications, as in Protection, worked out once. materials : by key."""
        if (today, latent_d) not in self._cures:
            self._cures[today, latent_d] = _cure(today, materials, self, latent_d)
        return self._cures[today, latent_d]


def stand(rain_mm: Floats, new_frac: Floats) -> Stand:
    """A planting to ask many courses of. rain_mm : (members, days). new_frac : (2, days).

    Raises FaultError where the two do not go together.
    """
    rain, new = np.asarray(rain_mm, float), np.asarray(new_frac, float)
    if rain.ndim != 2 or new.shape != (2, rain.shape[1]):
        raise FaultError(f"Rain of shape {rain.shape} and new leaves of shape {new.shape} do not go together.")
    return Stand(rain, new)


def kept_out_frac(dose: ArrayLike, most_frac: float, per_dose: float) -> Floats:
    """Share of infections kept out where a residue lies, most·(1 − exp(−per_dose·dose)) [0 to 1].

    dose : residue against a fresh deposit at the label's rate, any shape. Source: vandenbosch2014, from memory.
    """
    return np.asarray(-most_frac * np.expm1(-per_dose * np.asarray(dose, float)))


def cured_frac(material: Material, age_d: ArrayLike, dose: ArrayLike) -> Floats:
    """Share of infections of an age that a spray heals [0 to 1]; less the older, none beyond the material's reach.

    age_d : days since the infection, any shape. dose : what lies there, against the label's rate; goes with age_d.
    It falls in a straight line (assumed). Source: mueller2004 for the direction.
    """
    if not material.curative:
        return np.zeros(np.broadcast_shapes(np.shape(age_d), np.shape(dose)))
    fresh = kept_out_frac(dose, material["cure_most_frac"], material["protect_per_dose"])
    return np.asarray(fresh * np.clip(1.0 - np.asarray(age_d, float) / material["reach_d"], 0.0, 1.0))


def kept_out_by(applications: Sequence[Application], materials: Mapping[str, Material], of: Stand) -> dict[str, Floats]:
    """Share of infections each material keeps out by itself, (2, members, days), lower level then upper.

    Residues of one material add up on the leaf. materials : by key. Raises FaultError for a day before the first or a
    material that is not given.
    """
    return {key: _kept_out(materials[key], used, of) for key, used in _uses(applications, materials, of).items()}


def protection(
    applications: Sequence[Application],
    materials: Mapping[str, Material],
    rain_mm: Floats,
    new_frac: Floats,
    latent_d: float,
) -> Protection:
    """What one course of sprays does to the rust of one planting.

    materials : by key. rain_mm : (members, days). new_frac : (2, days) share of the lower level's leaf area that sank
    in from above that day, and of the upper's that unfolded. latent_d : latent period, above 0 [d]. Different
    materials act one after the other, so that their shields add up (assumed).
    """
    many = protections([applications], materials, stand(rain_mm, new_frac), latent_d=latent_d)
    return Protection(*(part[0] for part in many))


def protections(
    courses: Sequence[Sequence[Application]], materials: Mapping[str, Material], of: Stand, *, latent_d: float
) -> Protection:
    """The same for many courses of one planting, with the courses' axis first. of : from `stand`."""
    members, days = of.rain_mm.shape
    shield = np.zeros((len(courses), 2, members, days))
    cure, reach = np.zeros((2, len(courses), days))
    for row, course in enumerate(courses):
        for key, used in _uses(course, materials, of).items():
            shield[row] += of.shield(materials[key], used)
        cure[row], reach[row] = cures(course, materials, of, latent_d=latent_d)
    return Protection(shield, cure, reach)


def cures(
    applications: Sequence[Application], materials: Mapping[str, Material], of: Stand, *, latent_d: float
) -> tuple[Floats, Floats]:
    """Cure and its reach on each day, both (days,), as in Protection.

    What a cure heals falls with the age of the infection; here it is one number, the mean over all ages within reach.
    """
    cure, reach = np.zeros((2, of.rain_mm.shape[1]))
    for day in {each.day for each in applications if each.day < cure.size}:
        today = tuple(each for each in applications if each.day == day)
        cure[day], reach[day] = of.cure(today, materials, latent_d)
    return cure, reach


def _uses(applications: Sequence[Application], materials: Mapping[str, Material], of: Stand) -> dict[str, Uses]:
    """The applications of each material that keeps rust out, in order of time."""
    uses: dict[str, Uses] = {}
    for each in sorted(applications, key=lambda one: one.day):
        if each.day < 0 or not materials.keys() >= set(each.materials):
            raise FaultError(f"{each} lies before the first day, or names a material that was not given.")
        for key in each.materials:
            if each.day < of.rain_mm.shape[1] and materials[key].protectant:
                uses[key] = (*uses.get(key, ()), each)
    return uses


def _kept_out(material: Material, uses: Uses, of: Stand) -> Floats:
    """Wetted leaf area, times what its mean residue keeps out: bare leaves let all in, however thick it lies elsewhere."""
    spread = of.carry(material)
    members, days = of.rain_mm.shape
    wetted, lying = np.zeros((2, days)), np.zeros((2, members, days))
    for use in uses:
        reached = _reached(material, use)
        # of leaves already wetted, as many as of others are wetted again
        wetted += _spread_out(reached * (1.0 - wetted[:, use.day]), spread, use.day)
        laid = use.dose_frac * _spread_out(reached, spread, use.day)
        lying += laid[:, None, :] * of.left_frac(material, use)
    dose = lying / np.maximum(wetted, 1e-12)[:, None, :]
    return wetted[:, None, :] * kept_out_frac(dose, material["protect_most_frac"], material["protect_per_dose"])


def _spread_out(lower_upper: Floats, spread: residue.Carry, day: int) -> Floats:
    lower, upper = lower_upper
    return np.stack([lower * spread.lower_frac[day] + upper * spread.sunk_frac[day], upper * spread.upper_frac[day]])


def _reached(material: Material, use: Application) -> Floats:
    return residue.reached_frac([use.cover_lower_frac, use.cover_upper_frac], material["through_leaf_frac"])


def _cure(today: Uses, materials: Mapping[str, Material], of: Stand, latent_d: float) -> tuple[float, float]:
    uses = [(materials[key], use) for use in today for key in use.materials if materials[key].curative]
    reach_d = min(max((material["reach_d"] for material, _ in uses), default=0.0), latent_d)
    if reach_d <= 0.0:
        return 0.0, 0.0
    left = np.ones(_AGES.size)
    for material, use in uses:
        dose = use.dose_frac * float(of.left_frac(material, use)[:, use.day].mean())
        left *= 1.0 - _reached(material, use).mean() * cured_frac(material, reach_d * _AGES, dose)
    return float(-np.log(left.mean())), reach_d / latent_d
