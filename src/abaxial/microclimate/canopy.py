"""What foliage, walls and hedges let through to a leaf: light, wind and sky."""

from typing import Any

import numpy as np

from abaxial.compiled import exp, formula, log


@formula
def light_through_frac(extinction: Any, leaf_area_index: Any) -> Any:
    """Share of light that passes foliage, 0 to 1.

    extinction : any shape, 0.2 to 2. leaf_area_index : leaf area over ground area above the leaf, 0 to 10.
    Source: monsi1953. With extinction near 0.8 it is the share of sky a leaf sees.
    """
    return exp(-extinction * leaf_area_index)


@formula
def spherical_extinction(elevation_deg: Any) -> Any:
    """Extinction of beam sunlight by leaves that face every way alike.

    elevation_deg : any shape, of the sun [degrees], above 0 to 90. Source: campbell1998, chapter 15.
    """
    return 0.5 / np.sin(np.radians(elevation_deg))


@formula
def ellipsoidal_extinction(zenith_deg: Any, leaf_ratio: Any) -> Any:
    """Extinction of beam sunlight by leaves whose angles are spread as on an ellipsoid.

    zenith_deg : any shape, of the sun [degrees], 0 to 89. leaf_ratio : horizontal over vertical leaf area, 0.1 upright
    to 10 flat, 1 for a sphere. Source: campbell1998, Eq. 15.4.
    """
    tangent = np.tan(np.radians(zenith_deg))
    return np.sqrt(leaf_ratio * leaf_ratio + tangent * tangent) / (
        leaf_ratio + 1.774 * exp(-0.733 * log(leaf_ratio + 1.182))
    )


@formula
def wind_in_canopy_m_s(top_wind_m_s: Any, relative_height_frac: Any, attenuation: Any) -> Any:
    """Wind among the leaves [m/s].

    top_wind_m_s : any shape [m/s], at the canopy's top, 0 to 20. relative_height_frac : height over canopy height, 0 to 1.
    attenuation : 0.3 to 4, see `wind_attenuation`. Source: cionco1965; campbell1998, Eq. 5.4.
    """
    return top_wind_m_s * exp(attenuation * (relative_height_frac - 1.0))


@formula
def wind_attenuation(leaf_area_index: Any, leaf_width_m: Any, height_m: Any) -> Any:
    """How fast wind dies away downward among broad leaves.

    leaf_area_index : any shape, above 0 to 10. leaf_width_m : 0.01 to 1. height_m : of the canopy, 0.1 to 5.
    Source: campbell1998, Eq. 5.5, with the leaf distance of broad leaves.
    """
    distance_m = exp(log(6.0 * leaf_width_m * leaf_width_m * height_m / (np.pi * leaf_area_index)) / 3.0)
    return np.sqrt(0.2 * leaf_area_index * height_m / distance_m)


@formula
def wind_attenuation_grass(leaf_area_index: Any, leaf_width_m: Any, height_m: Any) -> Any:
    """How fast wind dies away downward among grass-like leaves.

    leaf_area_index : any shape, above 0 to 10. leaf_width_m : 0.001 to 0.1. height_m : of the canopy, 0.1 to 5.
    Source: campbell1998, Eq. 5.5, with the leaf distance of grasses.
    """
    distance_m = np.sqrt(4.0 * leaf_width_m * height_m / (np.pi * leaf_area_index))
    return np.sqrt(0.2 * leaf_area_index * height_m / distance_m)


@formula
def wind_to_two_metres_frac(measured_height_m: Any) -> Any:
    """Wind at 2 m over short grass as a share of wind at another height.

    measured_height_m : any shape [m], 0.5 to 100. Source: allen1998, Eq. 47.
    """
    return 4.87 / log(67.8 * measured_height_m - 5.42)


@formula
def wind_log_law_frac(height_m: Any, measured_height_m: Any, displacement_m: Any, roughness_m: Any) -> Any:
    """Wind at one height over a surface as a share of wind at another, in a neutral air.

    height_m, measured_height_m : any shape [m], more than displacement_m + roughness_m. displacement_m : about two thirds
    of the height of what grows there. roughness_m : about an eighth of it. Source: campbell1998, Eq. 5.1.
    """
    return log((height_m - displacement_m) / roughness_m) / log((measured_height_m - displacement_m) / roughness_m)


@formula
def wall_sky_view_frac(height_m: Any, distance_m: Any) -> Any:
    """Share of sky seen by level ground beside a long wall, 0.5 to 1.

    height_m : any shape [m], of the wall above the ground, 0 to 100. distance_m : from it, above 0.
    Source: oke1987, Appendix A1.
    """
    return 0.5 * (1.0 + distance_m / np.sqrt(distance_m * distance_m + height_m * height_m))


@formula
def canyon_sky_view_frac(height_m: Any, width_m: Any) -> Any:
    """Share of sky seen by level ground midway between two long walls or hedges, 0 to 1.

    height_m : any shape [m], 0 to 100. width_m : from one to the other, above 0. Source: oke1987, Appendix A1.
    """
    return width_m / np.sqrt(width_m * width_m + 4.0 * height_m * height_m)


@formula
def clearing_sky_view_frac(horizon_deg: Any) -> Any:
    """Share of sky seen by level ground where the horizon is raised all round, 0 to 1.

    horizon_deg : any shape, height of the horizon [degrees], 0 to 90. Source: oke1987, Appendix A1.
    """
    cosine = np.cos(np.radians(horizon_deg))
    return cosine * cosine
