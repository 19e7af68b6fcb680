"""How wet the leaves of each bed are, hour by hour, in every member."""

from collections.abc import Sequence
from dataclasses import dataclass, fields
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from abaxial import chance
from abaxial.microclimate import kernel, vapour
from abaxial.microclimate.exposure import Exposure, When
from abaxial.place import Place
from abaxial.provenance import Parameter, read_parameter, read_table

Floats = NDArray[np.float64]
_FILE = Path(__file__).parent / "constants.toml"
_LIMITS = (0.0, 10.0)


@dataclass(frozen=True)
class Wetness:
    """Leaves hour by hour. All arrays have shape (leaves, hours, members), float32.

    wet_upper_frac, wet_lower_frac : share of the hour and of the face with free water, 0 to 1.
    leaf_temperature_c : [°C]. film_mm : water on both faces at the hour's end [mm].
    """

    wet_upper_frac: NDArray[np.float32]
    wet_lower_frac: NDArray[np.float32]
    leaf_temperature_c: NDArray[np.float32]
    film_mm: NDArray[np.float32]

    def members_at(self, order: NDArray[np.int64]) -> "Wetness":
        """The same leaves with the members in another order, some perhaps twice and some not at all."""
        return Wetness(*(getattr(self, each.name)[:, :, order] for each in fields(self)))


def wetter_frac(wet: Wetness, leaves: slice, first_row: int) -> Floats:
    """Free water on the wettest face of some leaves, (hours, members), 0 to 1, from a row on."""
    faces = np.maximum(wet.wet_upper_frac[leaves, first_row:], wet.wet_lower_frac[leaves, first_row:])
    return np.asarray(faces.max(axis=0), np.float64)


@cache
def constants() -> dict[str, Parameter]:
    """The numbers of the leaf and the air around it, by name. Source: constants.toml, which gives one for each."""
    table = read_table(_FILE)
    return {
        name: read_parameter(name, entry, limits=_LIMITS, path=_FILE)
        for section in ("leaf", "member", "canopy")
        for name, entry in table[section].items()
    }


def wetness_members(seed: int, members: int) -> Floats:
    """What differs between wetness members, (6, members), rows as in kernel.MEMBER: each parameter spread evenly over its
    range, in its own order, with its central value in the middle. seed : any whole number."""
    known = constants()

    def spread(name: str) -> Floats:
        parameter, u = known[name], chance.stratified(seed, f"wetness/{name}", members)
        below = parameter.low + 2.0 * u * (parameter.value - parameter.low)
        above = parameter.value + (2.0 * u - 1.0) * (parameter.high - parameter.value)
        return np.where(u < 0.5, below, above)

    span = known["wet_span_frac"].value
    rows = (
        spread("exchange_factor"),
        spread("wet_activity_frac") - 0.5 * span,
        np.full(members, span),
        spread("storage_factor"),
        spread("splash_frac"),
        spread("moist_factor"),
    )
    return np.ascontiguousarray(np.stack(rows))


def central_member() -> Floats:
    """The one member with every parameter at its central value, (6, 1), rows as in kernel.MEMBER."""
    known = constants()
    span = known["wet_span_frac"].value
    middle = (
        known["exchange_factor"].value,
        known["wet_activity_frac"].value - 0.5 * span,
        span,
        known["storage_factor"].value,
        known["splash_frac"].value,
        known["moist_factor"].value,
    )
    return np.array(middle)[:, None]


def leaf_wetness(air: Floats, exposures: Sequence[Exposure], when: When, place: Place, members: Floats) -> Wetness:
    """Wetness and temperature of leaves.

    air : (hours, 8, members) from air.open_air. exposures : one for each leaf. members : from wetness_members.
    Films begin dry. Source: the energy balance of campbell1998 with a film on each face; see kernel.
    """
    leaves, hours, count = len(exposures), air.shape[0], air.shape[2]
    drivers = stack(air, members, exposures, when)
    film = np.zeros((leaves, 3, count))
    film[:, :2] = leaf_constants(exposures, place).solute_mm
    answer = np.empty((leaves, hours, 4, count), np.float32)
    kernel.leaf_hours(film, drivers, leaf_constants(exposures, place), answer)
    return Wetness(*(answer[:, :, row] for row in range(4)))


def hourly_means(wet: Wetness) -> tuple[list[list[float]], list[list[float]], list[list[float]]]:
    """Means over members, each as numbers by leaf and hour: share of members in which either face is wet for at least
    half of the hour, 0 to 1; leaf temperature [°C]; film on both faces [mm]."""
    is_wet = np.maximum(wet.wet_upper_frac, wet.wet_lower_frac) >= 0.5
    return (
        is_wet.mean(axis=2).tolist(),
        wet.leaf_temperature_c.mean(axis=2, dtype=np.float64).tolist(),
        wet.film_mm.mean(axis=2, dtype=np.float64).tolist(),
    )


def leaf_constants(exposures: Sequence[Exposure], place: Place) -> kernel.Leaf:
    """The leaves' widths and the physical constants they obey."""
    known = constants()
    return kernel.Leaf(
        np.array([each.leaf_width_m for each in exposures]),
        np.array([each.storage_mm for each in exposures]),
        float(vapour.atmospheric_pressure_kpa(place.elevation_m)),
        known["emissivity_frac"].value,
        known["absorptivity_frac"].value,
        known["solute_mm"].value,
        known["stomata_mol_m2_s"].value,
        known["calm_wind_m_s"].value,
        known["moist_wind_m_s"].value,
    )


def stack(air: Floats, members: Floats, exposures: Sequence[Exposure], when: When) -> kernel.Drivers:
    """The kernel's drivers: air, members, and the leaves' exposures side by side."""

    def side_by_side(name: str) -> Floats:
        return np.ascontiguousarray(np.stack([getattr(each, name) for each in exposures], axis=1))

    return kernel.Drivers(
        air,
        members,
        side_by_side("beam_frac"),
        side_by_side("overhead_mm"),
        side_by_side("sky_frac"),
        side_by_side("wind_frac"),
        side_by_side("through_frac"),
        side_by_side("store_mm"),
        side_by_side("moist_frac"),
        when.day,
    )
