"""One leaf, hour by hour: its temperature and the water film on each face, for many leaves and members at once.

A leaf has two faces with one temperature. Each face may carry a film of water that rain, watering and dew feed and
evaporation takes. The film holds a trace of salt and dust, so it neither boils away to nothing nor waits for saturation:
its water activity is film / (film + solute), and it is in balance when that equals the humidity at the leaf surface.
That is what makes real leaves and real sensors wet below 100 % humidity (burkhardt2013), and what ties the level of
wetness to the empirical rules while the energy balance gives the response to shade, wind, foliage and watering.

Within the hour the film is stepped implicitly: film = before + fed - evaporated, with evaporation taken at the film's
own end state. That is a quadratic with one positive root, so no film is ever negative and no step is ever unstable. The
leaf temperature is found by Newton's method on the energy balance with that film inside it.

State, drivers and parameters are packed in arrays whose last axis is the member, so that the innermost loop runs over
neighbours in memory and the processor works on several members at once.
"""

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from abaxial.compiled import formula, kernel, prange, small_kernel
from abaxial.microclimate import vapour

# rows of Drivers.air, of Drivers.members and of the answer
AIR = (
    "temperature_c",
    "vapour_pressure_kpa",
    "saturation_kpa",
    "wind_speed_m_s",
    "rain_mm",
    "beam_w_m2",
    "diffuse_w_m2",
    "sky_longwave_w_m2",
)
MEMBER = ("exchange_factor", "wet_activity_low", "wet_activity_span", "storage_factor", "splash_frac", "moist_factor")
ANSWER = ("wet_upper_face", "wet_lower_face", "leaf_temperature_c", "film_mm")


class Drivers(NamedTuple):
    """What acts on the leaves.

    air : (hours, 8, members), rows as in AIR; sky_longwave is sky minus air radiation on a level black surface.
    members : (6, members), rows as in MEMBER.
    beam_frac, overhead_mm : (hours, leaves) share of level beam sunlight reaching the leaf; watering on the leaf [mm].
    sky_frac, wind_frac, through_frac, store_mm, moist_frac : (days, leaves) share of sky seen; of open wind at 2 m;
    of rain falling straight through to the leaf; water the foliage above holds back [mm of ground]; how far the air at
    the leaf lies between the open air and saturation when it is calm.
    day : (hours,) index into those.
    """

    air: NDArray[np.float64]
    members: NDArray[np.float64]
    beam_frac: NDArray[np.float64]
    overhead_mm: NDArray[np.float64]
    sky_frac: NDArray[np.float64]
    wind_frac: NDArray[np.float64]
    through_frac: NDArray[np.float64]
    store_mm: NDArray[np.float64]
    moist_frac: NDArray[np.float64]
    day: NDArray[np.int64]


class Leaf(NamedTuple):
    """What a leaf is, with the physical constants it obeys. leaf_width_m, storage_mm : (leaves,), storage
    being the most water one face holds; the rest are numbers."""

    leaf_width_m: NDArray[np.float64]
    storage_mm: NDArray[np.float64]
    pressure_kpa: float
    emissivity_frac: float
    absorptivity_frac: float
    solute_mm: float
    stomata_mol_m2_s: float
    calm_wind_m_s: float
    moist_wind_m_s: float


# molar heat capacity of air [J/mol/K], latent heat [J/kg] over the seconds in an hour, and mol/m²/s of water to mm/h
CP = 29.3
LATENT_W_PER_MM_H = 2.45e6 / 3600.0
MM_H_PER_MOL = 0.018015 * 3600.0
STEFAN_BOLTZMANN = 5.670374e-8
# exchange per face, squared: forced 1.4 x 0.135 sqrt(u/d) out of doors; free 0.05 (dT/d)^(1/4) on the face where the air
# rises or sinks away and half that on the other; d is 0.72 of the leaf's width; vapour over heat 0.147/0.135 (campbell1998)
FORCED_HEAT = (1.4 * 0.135) ** 2 / 0.72
FREE_HEAT = (0.75 * 0.05) ** 2 / 0.72**0.5
VAPOUR_TO_HEAT = 0.147 / 0.135
# light at which stomata are half open [W/m²] (assumed), and the nearest to saturation that still air among leaves comes
STOMATA_LIGHT = 150.0
MOIST_MOST = 0.9

# the workspace: LANES columns side by side, one row a quantity; a fixed width lets the compiler run several at once
LANES = 64
(
    TEMPERATURE,
    VAPOUR,
    SATURATION,
    WIND,
    RAIN,
    BEAM,
    DIFFUSE,
    SKY_LONGWAVE,
    EXCHANGE,
    WET_LOW,
    WET_SPAN,
    STORAGE,
    SPLASH,
    MOIST_FACTOR,
    FORCED,
    FREE,
    BEAM_FRAC,
    OVERHEAD,
    SKY,
    WIND_FRAC,
    THROUGH,
    STORE,
    MOIST,
    UPPER,
    LOWER,
    DIFFERENCE,
    WET_UPPER,
    WET_LOWER,
    END,
) = range(0, 29 * LANES, LANES)


@formula
def film_after_hour_mm(film_before_mm: Any, supply_mm: Any, demand_mm: Any, solute_mm: Any) -> Any:
    """Film on one face at the end of an hour [mm], and the root that its derivative needs.

    film_before_mm : before, with what fell in the hour, any shape, 0 or more. supply_mm, demand_mm : exchange per hour
    times vapour pressure of the air and at saturation at the leaf. solute_mm : above 0.
    The positive root x of x = before + supply - demand x / (x + solute): the implicit Euler step.
    """
    gathered = film_before_mm + supply_mm
    half = gathered - demand_mm - solute_mm
    root = np.sqrt(half * half + 4.0 * gathered * solute_mm)
    return 0.5 * (half + root), root


@formula
def newton_step(difference: Any, now: Any, constants: Any) -> Any:
    """One step towards the leaf temperature at which energy closes: the better leaf minus air temperature [K], and the
    films [mm] of the old one.

    now : air temperature [°C], vapour pressure [kPa], both films before [mm], radiation gained [W/m²], forced exchange
    squared, free exchange squared per root kelvin, stomata [mol/m²/s]. constants : solute [mm], vapour exchange [mm/h/kPa]
    over heat exchange [mol/m²/s], radiation per kelvin⁴ of both faces.
    """
    air_c, vapour_kpa, upper_before, lower_before, gained, forced, free_per_root_k, stomata = now
    solute, vapour_per_heat, radiated_per_k4 = constants
    at_leaf = vapour.saturation_vapour_pressure_kpa(air_c + difference)
    slope = vapour.slope_saturation_vapour_pressure_kpa_per_k(air_c + difference)
    exchange = np.sqrt(forced + free_per_root_k * np.sqrt(np.abs(difference)))
    kappa = vapour_per_heat * exchange
    upper, upper_root = film_after_hour_mm(upper_before, kappa * vapour_kpa, kappa * at_leaf, solute)
    lower, lower_root = film_after_hour_mm(lower_before, kappa * vapour_kpa, kappa * at_leaf, solute)
    breathing = stomata * kappa / (stomata + exchange)
    lost = upper_before - upper + lower_before - lower + breathing * np.maximum(at_leaf - vapour_kpa, 0.0)
    lost_per_k = slope * (kappa * (upper / upper_root + lower / lower_root) + breathing)
    air_k, leaf_k = air_c + 273.15, air_c + 273.15 + difference
    leaf_k3 = leaf_k * leaf_k * leaf_k
    radiated = radiated_per_k4 * (leaf_k3 * leaf_k - air_k * air_k * air_k * air_k)
    balance = gained - radiated - 2.0 * CP * exchange * difference - LATENT_W_PER_MM_H * lost
    steepness = 4.0 * radiated_per_k4 * leaf_k3 + 2.0 * CP * exchange + LATENT_W_PER_MM_H * lost_per_k
    return difference + balance / steepness, upper, lower


@small_kernel
def _advance(w: Any, leaf: Leaf) -> None:
    """One hour for all columns of a workspace."""
    solute = leaf.solute_mm
    vapour_per_heat = VAPOUR_TO_HEAT * MM_H_PER_MOL / leaf.pressure_kpa
    constants = (solute, vapour_per_heat, 2.0 * leaf.emissivity_frac * STEFAN_BOLTZMANN)
    for j in range(LANES):
        wind = max(w[WIND + j] * w[WIND_FRAC + j], leaf.calm_wind_m_s)
        # air at the leaf: moister than outside where wet soil and foliage hold still air
        pull = min(w[MOIST + j] * w[MOIST_FACTOR + j] / (1.0 + wind / leaf.moist_wind_m_s), MOIST_MOST)
        vapour_kpa = w[VAPOUR + j] + (w[SATURATION + j] - w[VAPOUR + j]) * pull
        # water: rain straight through, rain that the foliage above cannot hold, and the watering can
        rain, through = w[RAIN + j], w[THROUGH + j]
        fed = rain * through + max(rain * (1.0 - through) - w[STORE + j], 0.0) + w[OVERHEAD + j]
        upper_before, lower_before = w[UPPER + j] + fed, w[LOWER + j] + fed * w[SPLASH + j]
        # radiation: sun taken up, and the sky's cold; everything else around is at air temperature
        light = w[BEAM + j] * w[BEAM_FRAC + j] + w[DIFFUSE + j] * w[SKY + j]
        gained = leaf.absorptivity_frac * light + leaf.emissivity_frac * w[SKY + j] * w[SKY_LONGWAVE + j]
        stomata = leaf.stomata_mol_m2_s * light / (light + STOMATA_LIGHT)
        air_c, forced = w[TEMPERATURE + j], w[FORCED + j] * wind
        now = (air_c, vapour_kpa, upper_before, lower_before, gained, forced, w[FREE + j], stomata)
        difference, upper, lower = newton_step(w[DIFFERENCE + j], now, constants)
        difference, upper, lower = newton_step(difference, now, constants)
        difference, upper, lower = newton_step(difference, now, constants)
        difference, upper, lower = newton_step(difference, now, constants)
        storage = w[STORAGE + j]
        upper, lower = min(upper, storage), min(lower, storage)
        # an hour is wet by the mean of its film: as fed, and as left
        mean_upper = 0.5 * (min(upper_before, storage) + upper)
        mean_lower = 0.5 * (min(lower_before, storage) + lower)
        wet_upper = (mean_upper / (mean_upper + solute) - w[WET_LOW + j]) / w[WET_SPAN + j]
        wet_lower = (mean_lower / (mean_lower + solute) - w[WET_LOW + j]) / w[WET_SPAN + j]
        w[WET_UPPER + j], w[WET_LOWER + j] = min(max(wet_upper, 0.0), 1.0), min(max(wet_lower, 0.0), 1.0)
        w[UPPER + j], w[LOWER + j], w[DIFFERENCE + j] = upper, lower, difference


@kernel
def leaf_hours(film: Any, drivers: Drivers, leaf: Leaf, answer: Any) -> None:
    """Fill `answer`, (leaves, hours, 4, members) float32 with rows as in ANSWER, and carry `film` forward.

    film : (leaves, 3, members) upper film [mm], lower film [mm], leaf minus air temperature [K]; changed in place.
    wet faces are shares of the hour and face with free water, 0 to 1; film_mm is both faces together at the hour's end.
    """
    leaves, hours, _, members = answer.shape
    columns = leaves * members
    for block in prange((columns + LANES - 1) // LANES):
        count = min(LANES, columns - block * LANES)
        w = np.zeros(END + LANES)
        leaf_of, member_of = np.empty(LANES, np.int64), np.empty(LANES, np.int64)
        for j in range(LANES):
            column = min(block * LANES + j, columns - 1)
            i, m = column // members, column % members
            leaf_of[j], member_of[j] = i, m
            for k in range(6):
                w[EXCHANGE + k * LANES + j] = drivers.members[k, m]
            w[STORAGE + j] = leaf.storage_mm[i] * drivers.members[3, m]
            w[FORCED + j] = FORCED_HEAT / leaf.leaf_width_m[i] * drivers.members[0, m] ** 2
            w[FREE + j] = FREE_HEAT / leaf.leaf_width_m[i] ** 0.5
            for k in range(3):
                w[UPPER + k * LANES + j] = film[i, k, m]
        day = -1
        for h in range(hours):
            for k in range(8):
                for j in range(LANES):
                    w[k * LANES + j] = drivers.air[h, k, member_of[j]]
            for j in range(LANES):
                w[BEAM_FRAC + j] = drivers.beam_frac[h, leaf_of[j]]
                w[OVERHEAD + j] = drivers.overhead_mm[h, leaf_of[j]]
            if drivers.day[h] != day:
                day = drivers.day[h]
                for j in range(LANES):
                    i = leaf_of[j]
                    w[SKY + j], w[WIND_FRAC + j] = drivers.sky_frac[day, i], drivers.wind_frac[day, i]
                    w[THROUGH + j], w[STORE + j] = drivers.through_frac[day, i], drivers.store_mm[day, i]
                    w[MOIST + j] = drivers.moist_frac[day, i]
            _advance(w, leaf)
            for j in range(count):
                i, m = leaf_of[j], member_of[j]
                answer[i, h, 0, m], answer[i, h, 1, m] = w[WET_UPPER + j], w[WET_LOWER + j]
                answer[i, h, 2, m] = w[TEMPERATURE + j] + w[DIFFERENCE + j]
                answer[i, h, 3, m] = w[UPPER + j] + w[LOWER + j]
        for j in range(count):
            for k in range(3):
                film[leaf_of[j], k, member_of[j]] = w[UPPER + k * LANES + j]
