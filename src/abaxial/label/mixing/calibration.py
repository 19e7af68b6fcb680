"""What a sprayer gives out: by catching it, by walking with it, by its nozzle; in metric and in US units."""

from typing import Any

import numpy as np

_GALLON_L = 3.785411784
_OUNCES_PER_GALLON = 128.0
_ACRE_FT2 = 43560.0
_FOOT_M = 0.3048
_ACRE_M2 = _ACRE_FT2 * _FOOT_M**2
_HECTARE_M2 = 1.0e4
_GAL_PER_ACRE = _GALLON_L * _HECTARE_M2 / _ACRE_M2

#: the plot on which ounces caught are gallons to the acre
PLOT_FT2 = _ACRE_FT2 / _OUNCES_PER_GALLON


def l_per_ha_of_gal_per_acre(gal_per_acre: Any) -> Any:
    """Volume on ground [L/ha].

    gal_per_acre : any shape [US gal/acre], 0 or more.
    """
    return gal_per_acre * _GAL_PER_ACRE


def gal_per_acre_of_l_per_ha(l_per_ha: Any) -> Any:
    """Volume on ground [US gal/acre].

    l_per_ha : any shape [L/ha], 0 or more.
    """
    return l_per_ha / _GAL_PER_ACRE


def caught_l_per_ha(caught_ml: Any, plot_m2: Any) -> Any:
    """Volume on ground from what the sprayer gives in the time a measured piece of ground takes [L/ha].

    caught_ml : any shape [mL], 0 or more. plot_m2 : ground sprayed in that time [m²], above 0. On 10 m² the
    millilitres are litres to the hectare.
    """
    return caught_ml / 1000.0 * _HECTARE_M2 / plot_m2


def caught_gal_per_acre(caught_fl_oz: Any, plot_ft2: Any) -> Any:
    """Volume on ground from what the sprayer gives in the time a measured piece of ground takes [US gal/acre].

    caught_fl_oz : any shape [US fl oz], 0 or more. plot_ft2 : ground sprayed in that time [ft²], above 0. On
    PLOT_FT2, the 128th of an acre, the ounces are gallons to the acre. Source: larimer.
    """
    return caught_fl_oz / _OUNCES_PER_GALLON * _ACRE_FT2 / plot_ft2


def plot_length_ft(swath_in: Any) -> Any:
    """How long the 128th of an acre is at the width one sprays [ft].

    swath_in : any shape [in], above 0. Source: barbosa.
    """
    return PLOT_FT2 / (swath_in / 12.0)


def plot_m2(swath_m: Any, length_m: Any) -> Any:
    """Ground of a strip [m²].

    swath_m, length_m : any shape [m], above 0.
    """
    return swath_m * length_m


def walking_l_per_ha(flow_l_min: Any, speed_km_h: Any, swath_cm: Any) -> Any:
    """Volume on ground of a boom or a wand carried at a steady pace [L/ha].

    flow_l_min : any shape [L/min], 0 or more. speed_km_h : above 0. swath_cm : width that one pass wets [cm], above 0.
    """
    return 60000.0 * flow_l_min / (speed_km_h * swath_cm)


def walking_gal_per_acre(flow_gal_min: Any, speed_mph: Any, swath_in: Any) -> Any:
    """Volume on ground of a boom or a wand carried at a steady pace [US gal/acre].

    flow_gal_min : any shape [US gal/min], 0 or more. speed_mph : above 0. swath_in : width that one pass wets [in], above
    0. The factor is 5940 to three figures and a half; a rounding of the trade, kept. Source: albanycounty.
    """
    return 5940.0 * flow_gal_min / (speed_mph * swath_in)


def flow_l_min(caught_ml: Any, seconds_s: Any) -> Any:
    """What a sprayer gives in a minute [L/min].

    caught_ml : any shape [mL], 0 or more. seconds_s : time it was caught for [s], above 0.
    """
    return caught_ml / 1000.0 * 60.0 / seconds_s


def pace_m2_s(plot_m2: Any, seconds_s: Any) -> Any:
    """Ground sprayed in a second [m²/s].

    plot_m2 : any shape [m²], above 0. seconds_s : time it took [s], above 0.
    """
    return plot_m2 / seconds_s


def spraying_min(volume_l: Any, flow_l_min: Any) -> Any:
    """How long a volume takes to come out [min].

    volume_l : any shape [L], 0 or more. flow_l_min : above 0.
    """
    return volume_l / flow_l_min


def flow_at_pressure_l_min(flow_l_min: Any, pressure_bar: Any, new_pressure_bar: Any) -> Any:
    """Flow of a nozzle at another pressure [L/min]: it grows with the root of the pressure.

    flow_l_min : any shape, at pressure_bar, 0 or more. pressure_bar, new_pressure_bar : above 0.
    """
    return flow_l_min * np.sqrt(new_pressure_bar / pressure_bar)


def wear_frac(flow_l_min: Any, new_flow_l_min: Any) -> Any:
    """By what share a nozzle gives more than when it was new, at the same pressure; below 0 where it is blocked.

    flow_l_min, new_flow_l_min : any shape [L/min], above 0. Above `Habits.worn_frac` it is worn out.
    """
    return flow_l_min / new_flow_l_min - 1.0
