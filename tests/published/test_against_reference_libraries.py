"""Our formulas against general libraries that others wrote and many use."""

import numpy as np
import pandas as pd
import psychrolib
import pvlib
import pytest
import refet

from abaxial.microclimate import canopy, evapotranspiration, radiation, vapour
from abaxial.weather import sun

TEMPERATURE_C = np.arange(0.0, 41.0, 5.0)
HUMIDITY_FRAC = np.array([0.2, 0.4, 0.6, 0.8, 0.95])
LATITUDES_DEG = (-65.0, -36.8, -10.0, 0.0, 23.0, 45.0, 70.0)
LONGITUDES_DEG = (-150.0, 4.0, 174.8)

psychrolib.SetUnitSystem(psychrolib.SI)


def _each(function, *arguments):
    return np.vectorize(function)(*np.meshgrid(*arguments, indexing="ij"))


def _hours(times: pd.DatetimeIndex) -> np.ndarray:
    return (times - pd.Timestamp(0, tz="UTC")) / pd.Timedelta(hours=1)


def test_saturated_air_holds_what_a_psychrometrics_library_says() -> None:
    theirs_kpa = _each(psychrolib.GetSatVapPres, TEMPERATURE_C) / 1000.0

    assert vapour.saturation_vapour_pressure_kpa(TEMPERATURE_C) == pytest.approx(theirs_kpa, rel=0.005)


def test_air_over_ice_holds_what_a_psychrometrics_library_says() -> None:
    cold_c = np.array([-40.0, -25.0, -10.0, -1.0])

    ours_kpa = vapour.saturation_vapour_pressure_over_ice_kpa(cold_c)

    assert ours_kpa == pytest.approx(_each(psychrolib.GetSatVapPres, cold_c) / 1000.0, rel=0.005)


def test_dew_points_are_those_of_a_psychrometrics_library() -> None:
    # from 15 °C and 0.4 up: below 0 °C the library means the frost point
    theirs_c = _each(psychrolib.GetTDewPointFromRelHum, TEMPERATURE_C[3:], HUMIDITY_FRAC[1:])

    ours_c = vapour.dew_point_c(vapour.vapour_pressure_kpa(TEMPERATURE_C[3:, None], HUMIDITY_FRAC[None, 1:]))

    assert ours_c == pytest.approx(theirs_c, abs=0.1)


def test_wet_bulbs_of_two_definitions_agree_with_a_psychrometrics_library_to_half_a_degree() -> None:
    def theirs(temperature_c: float, humidity_frac: float) -> float:
        return psychrolib.GetTWetBulbFromRelHum(temperature_c, humidity_frac, 101325.0)

    theirs_c = _each(theirs, TEMPERATURE_C[2:], HUMIDITY_FRAC)
    grid = TEMPERATURE_C[2:, None], HUMIDITY_FRAC[None, :]

    assert vapour.wet_bulb_c(*grid, 101.325) == pytest.approx(theirs_c, abs=0.25)
    assert vapour.wet_bulb_stull_c(*grid) == pytest.approx(theirs_c, abs=0.9)


def test_pressure_falls_with_height_as_in_the_standard_atmosphere() -> None:
    heights_m = np.array([0.0, 500.0, 1500.0, 3000.0])

    theirs_kpa = _each(psychrolib.GetStandardAtmPressure, heights_m) / 1000.0

    assert vapour.atmospheric_pressure_kpa(heights_m) == pytest.approx(theirs_kpa, rel=0.01)


@pytest.mark.parametrize("latitude_deg", LATITUDES_DEG)
@pytest.mark.parametrize("longitude_deg", LONGITUDES_DEG)
def test_the_sun_stands_where_a_solar_library_puts_it(latitude_deg: float, longitude_deg: float) -> None:
    times = pd.date_range("1990-01-01", "2049-12-31", periods=800, tz="UTC")
    theirs = pvlib.solarposition.spa_python(times, latitude_deg, longitude_deg, altitude=0, delta_t=67.0)

    elevation_deg, azimuth_deg = sun.solar_position(_hours(times).to_numpy(), latitude_deg, longitude_deg)
    turned_deg = np.abs((azimuth_deg - theirs["azimuth"] + 180.0) % 360.0 - 180.0)

    assert elevation_deg == pytest.approx(theirs["elevation"].to_numpy(), abs=0.01)
    assert (turned_deg * np.cos(np.radians(elevation_deg))).max() < 0.01


def test_sunlight_outside_the_atmosphere_is_within_a_hundredth_of_a_solar_library() -> None:
    day_of_year = np.arange(1, 366)
    theirs_w_m2 = pvlib.irradiance.get_extra_radiation(day_of_year, solar_constant=sun.SOLAR_CONSTANT_W_M2)
    noon_utc = 24.0 * (day_of_year - 0.5) + (pd.Timestamp("2023-01-01") - pd.Timestamp(0)) / pd.Timedelta(hours=1)

    ours_w_m2 = sun.extraterrestrial_w_m2(90.0, noon_utc)

    assert ours_w_m2 == pytest.approx(theirs_w_m2, rel=0.005)


def test_the_clear_sky_is_near_that_of_a_library_with_clean_air() -> None:
    elevation_deg = np.array([20.0, 30.0, 60.0, 85.0])
    zenith_deg = 90.0 - elevation_deg
    airmass = pvlib.atmosphere.get_relative_airmass(zenith_deg)
    theirs = pvlib.clearsky.ineichen(zenith_deg, airmass, linke_turbidity=3.0)

    assert sun.clear_sky_w_m2(elevation_deg, 0.0) == pytest.approx(theirs["ghi"], rel=0.12)


def test_sunlight_divides_as_in_a_solar_library() -> None:
    clearness_frac = np.linspace(0.05, 0.95, 19)
    day_of_year = 93
    level_w_m2 = clearness_frac * pvlib.irradiance.get_extra_radiation(day_of_year)
    theirs = pvlib.irradiance.erbs(level_w_m2, np.zeros(19), day_of_year)

    assert radiation.diffuse_frac(clearness_frac) == pytest.approx(theirs["dhi"] / level_w_m2, abs=0.001)


@pytest.mark.parametrize("sunlight_mj_m2_d", [6.0, 14.0, 24.0])
@pytest.mark.parametrize("humidity_frac", [0.5, 0.9])
def test_a_day_of_short_grass_takes_what_an_evapotranspiration_library_says(
    sunlight_mj_m2_d: float, humidity_frac: float
) -> None:
    latitude_deg, elevation_m, day_of_year = 45.0, 150.0, 187
    vapour_kpa = humidity_frac * evapotranspiration.mean_saturation_kpa(14.0, 27.0)
    theirs = refet.Daily(
        tmin=14.0, tmax=27.0, ea=vapour_kpa, rs=sunlight_mj_m2_d, uz=2.5, zw=2.0,
        elev=elevation_m, lat=latitude_deg, doy=day_of_year, method="asce", rso_type="simple",
    )  # fmt: skip
    outside = evapotranspiration.extraterrestrial_mj_m2_d(latitude_deg, day_of_year)

    ours_mm = evapotranspiration.reference_mm_d(
        (14.0, 27.0), vapour_kpa, 2.5, sunlight_mj_m2_d,
        evapotranspiration.clear_sky_mj_m2(outside, elevation_m), vapour.atmospheric_pressure_kpa(elevation_m),
    )  # fmt: skip

    assert ours_mm == pytest.approx(float(theirs.eto()[0]), abs=0.03)


def test_an_hour_outside_the_atmosphere_is_that_of_an_evapotranspiration_library() -> None:
    middle_h = np.arange(24.0) + 0.5
    theirs = refet.calcs.ra_hourly(np.radians(45.0), np.radians(5.0), 187, middle_h, method="asce")

    ours_mj_m2_h = evapotranspiration.extraterrestrial_mj_m2_h(45.0, 5.0, 187.0, middle_h)

    assert ours_mj_m2_h == pytest.approx(theirs, abs=0.02)


def test_sun_time_and_wind_at_two_metres_are_those_of_an_evapotranspiration_library() -> None:
    day_of_year, height_m = np.arange(1.0, 366.0), np.array([0.5, 1.0, 3.0, 10.0])

    ours_h = evapotranspiration.seasonal_correction_h(day_of_year)

    assert ours_h == pytest.approx(refet.calcs.seasonal_correction(day_of_year), abs=1e-4)
    assert canopy.wind_to_two_metres_frac(height_m) == pytest.approx(
        refet.calcs.wind_height_adjust(1.0, height_m), abs=1e-3
    )
