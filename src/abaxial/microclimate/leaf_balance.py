"""The textbook energy balance of one leaf: its temperature, and the dew it gathers or the water it loses.

A thin level leaf with one temperature for both faces. Its lower face sees ground at air temperature; its upper face sees the
clear sky in part and things at air temperature in the rest. Heat and vapour pass through laminar forced convection alone,
with neither the gain of a turbulent wind nor convection of the leaf's own making (campbell1998, chapters 7 and 14). It is
the plain form against which the house's own leaf is tested in the limit; where air is calm it exchanges too little.
"""

from typing import NamedTuple

from abaxial.microclimate import boundary_layer, radiation, vapour

EMISSIVITY_FRAC = 0.97
#: heat of evaporation [J/mol] and heat capacity of air [J/mol/K]
LATENT_J_MOL, CP_J_MOL_K = 44100.0, 29.3
PRESSURE_KPA = 101.3
MM_H_PER_MOL_M2_S = 0.018015 * 3600.0


class Surroundings(NamedTuple):
    """What acts on a leaf: air [°C, kPa], radiation taken up by both faces [W/m²], conductances of both [mol/m²/s]."""

    temperature_c: float
    vapour_pressure_kpa: float
    absorbed_w_m2: float
    heat_mol_m2_s: float
    vapour_mol_m2_s: float


def night_leaf(
    temperature_c: float,
    relative_humidity_frac: float,
    wind_speed_m_s: float,
    sky_view_frac: float,
    size_m: float,
    is_wet: bool,
) -> tuple[float, float]:
    """Leaf temperature [°C] and dew [mm/h of leaf area, both faces together; below 0 where water is lost] at night.

    temperature_c : -10 to 40. relative_humidity_frac : above 0 to 1. wind_speed_m_s : at the leaf, above 0.
    sky_view_frac : 0 to 1. size_m : characteristic, 0.72 of the leaf's width. is_wet : a dry leaf gathers dew but has
    nothing to lose. Source: campbell1998, Eq. 14.1, brutsaert1975.
    """
    around = surroundings(temperature_c, relative_humidity_frac, wind_speed_m_s, sky_view_frac, size_m)
    if not is_wet:
        dry_c = _leaf_temperature_c(around, False)
        if vapour.saturation_vapour_pressure_kpa(dry_c) >= around.vapour_pressure_kpa:
            return dry_c, 0.0
    leaf_c = _leaf_temperature_c(around, True)
    return leaf_c, dew_mm_h(around, leaf_c)


def wet_leaf_by_day(
    temperature_c: float,
    relative_humidity_frac: float,
    wind_speed_m_s: float,
    sky_view_frac: float,
    size_m: float,
    sunlight_w_m2: float,
) -> tuple[float, float]:
    """Leaf temperature [°C] and water lost [mm/h of leaf area] by a leaf wet on both faces in daylight.

    sunlight_w_m2 : taken up by the leaf. The rest as for `night_leaf`. Source: campbell1998, Eq. 14.1.
    """
    around = surroundings(temperature_c, relative_humidity_frac, wind_speed_m_s, sky_view_frac, size_m)
    around = around._replace(absorbed_w_m2=around.absorbed_w_m2 + sunlight_w_m2)
    leaf_c = _leaf_temperature_c(around, True)
    return leaf_c, -dew_mm_h(around, leaf_c)


def surroundings(
    temperature_c: float, relative_humidity_frac: float, wind_speed_m_s: float, sky_view_frac: float, size_m: float
) -> Surroundings:
    """What acts on a leaf without sunlight. Arguments as for `night_leaf`."""
    vapour_kpa = float(vapour.vapour_pressure_kpa(temperature_c, relative_humidity_frac))
    sky_frac = float(radiation.clear_sky_emissivity_frac(vapour_kpa, temperature_c))
    seen_frac = 2.0 - sky_view_frac * (1.0 - sky_frac)
    return Surroundings(
        temperature_c,
        vapour_kpa,
        EMISSIVITY_FRAC * seen_frac * float(radiation.longwave_w_m2(1.0, temperature_c)),
        2.0 * float(boundary_layer.forced_heat_mol_m2_s(wind_speed_m_s, size_m)),
        2.0 * float(boundary_layer.forced_vapour_mol_m2_s(wind_speed_m_s, size_m)),
    )


def net_radiation_w_m2(around: Surroundings, leaf_temperature_c: float) -> float:
    """Radiation taken up less radiation given off by both faces [W/m² of leaf area]."""
    return around.absorbed_w_m2 - 2.0 * float(radiation.longwave_w_m2(EMISSIVITY_FRAC, leaf_temperature_c))


def dew_mm_h(around: Surroundings, leaf_temperature_c: float) -> float:
    """Water that settles on a wet leaf of that temperature [mm/h of leaf area], below 0 where it is lost."""
    excess_kpa = float(vapour.saturation_vapour_pressure_kpa(leaf_temperature_c)) - around.vapour_pressure_kpa
    return -around.vapour_mol_m2_s * excess_kpa / PRESSURE_KPA * MM_H_PER_MOL_M2_S


def _leaf_temperature_c(around: Surroundings, is_wet: bool) -> float:
    """Temperature at which gains equal losses [°C], by halving an interval that holds it: gains fall as it rises."""
    low, high = around.temperature_c - 30.0, around.temperature_c + 60.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        gain = net_radiation_w_m2(around, middle) - CP_J_MOL_K * around.heat_mol_m2_s * (middle - around.temperature_c)
        if is_wet:
            gain += LATENT_J_MOL * dew_mm_h(around, middle) / MM_H_PER_MOL_M2_S
        low, high = (middle, high) if gain > 0.0 else (low, middle)
    return 0.5 * (low + high)
