"""The still air that clings to a leaf: how fast heat and vapour pass through it, for one face.

Conductances are in moles of air per square metre and second. Sizes are characteristic sizes along the wind: 0.72 of a
leaf's width, see `characteristic_size_m`. Out of doors, where the air is already turbulent, forced exchange is some 1.4
times what stands here (campbell1998, chapter 7); on sheltered nights it has been measured at a third of it.
"""

from typing import Any

import numpy as np

from abaxial.compiled import formula


@formula
def characteristic_size_m(leaf_width_m: Any) -> Any:
    """Length along the wind that a leaf of this width stands for [m].

    leaf_width_m : any shape [m], 0.001 to 1. Source: campbell1998, chapter 7.
    """
    return 0.72 * leaf_width_m


@formula
def forced_heat_mol_m2_s(wind_speed_m_s: Any, size_m: Any) -> Any:
    """Conductance for heat in moving air, one face [mol/m²/s].

    wind_speed_m_s : any shape [m/s], at the leaf, 0 to 20. size_m : characteristic, 0.001 to 1.
    Source: campbell1998, Table 7.6.
    """
    return 0.135 * np.sqrt(wind_speed_m_s / size_m)


@formula
def forced_vapour_mol_m2_s(wind_speed_m_s: Any, size_m: Any) -> Any:
    """Conductance for vapour in moving air, one face [mol/m²/s].

    wind_speed_m_s : any shape [m/s], at the leaf, 0 to 20. size_m : characteristic, 0.001 to 1.
    Source: campbell1998, Table 7.6.
    """
    return 0.147 * np.sqrt(wind_speed_m_s / size_m)


@formula
def free_heat_mol_m2_s(temperature_difference_k: Any, size_m: Any) -> Any:
    """Conductance for heat in air that the leaf itself sets moving, on its livelier face [mol/m²/s].

    temperature_difference_k : any shape [K], leaf minus air, -20 to 20. size_m : characteristic, 0.001 to 1.
    The other face, where the air lies still, passes half as much. Source: campbell1998, Table 7.6.
    """
    return 0.05 * np.sqrt(np.sqrt(np.abs(temperature_difference_k) / size_m))


@formula
def flat_plate_heat_m_s(wind_speed_m_s: Any, size_m: Any) -> Any:
    """Conductance for heat of a smooth plate in air near 20 °C, one face [m/s].

    wind_speed_m_s : any shape [m/s], 0 to 20. size_m : along the wind, 0.001 to 1.
    Source: monteith2008, Nu = 0.60 Re^0.5, with diffusivity 2.15e-5 and viscosity 1.51e-5 m²/s.
    """
    return 0.60 * 2.15e-5 * np.sqrt(wind_speed_m_s / (1.51e-5 * size_m))


@formula
def forced_leuning_m_s(wind_speed_m_s: Any, leaf_width_m: Any) -> Any:
    """Conductance for heat in moving air, one face [m/s].

    wind_speed_m_s : any shape [m/s], 0 to 20. leaf_width_m : 0.001 to 1. Source: leuning1995, Eq. E1.
    """
    return 0.003 * np.sqrt(wind_speed_m_s / leaf_width_m)


@formula
def vapour_resistance_s_m(conductance_mol_m2_s: Any, air_mol_m3: Any) -> Any:
    """Resistance [s/m] that is the inverse of a molar conductance.

    conductance_mol_m2_s : any shape, above 0. air_mol_m3 : moles in a cubic metre of air, 41.6 at 20 °C and sea level.
    Source: campbell1998, chapter 6.
    """
    return air_mol_m3 / conductance_mol_m2_s
