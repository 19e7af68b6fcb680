"""The nouns of the generator: a sketch of a climate, its daily statistics, and days kept as examples."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from abaxial.place import Place
from abaxial.weather.generator.matrices import (
    constant,
    published_correlations,
    rain_chances_frac,
    rain_gamma,
    wgen_matrices,
)

Floats = NDArray[np.float64]
DAYS = 366
_MID_MONTH_D = np.array([15.5, 45, 74.5, 105, 135.5, 166, 196.5, 227.5, 258, 288.5, 319, 349.5])
_MONTH_D = np.array([31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])


@dataclass(frozen=True)
class ClimateSketch:
    """A climate in a few numbers; tuples hold twelve months from January.

    min_c, max_c : mean of the days' lowest and highest [°C]. rain_days : days with rain. rain_per_wet_day_mm : mean
    rain of such a day [mm]. dew_point_below_min_k : of an ordinary night [K]. wind_m_s : mean at 2 m [m/s]. day_sd_k
    : of a day's temperature about its season [K]. wet_day_cooler_k : how much lower the highest is with rain [K].
    clear_dry_frac,
    clear_wet_frac, clear_sd_frac : share of clear-sky sun without rain, with rain, and its standard deviation.
    """

    min_c: tuple[float, ...]
    max_c: tuple[float, ...]
    rain_days: tuple[float, ...]
    rain_per_wet_day_mm: tuple[float, ...]
    dew_point_below_min_k: float
    wind_m_s: float
    day_sd_k: float
    wet_day_cooler_k: float
    clear_dry_frac: float
    clear_wet_frac: float
    clear_sd_frac: float


@dataclass(frozen=True)
class DailyClimate:
    """What a day is like, by day of the year. Figures are highest [°C], lowest [°C] and share of clear-sky sun.

    after_dry_frac, after_wet_frac : (366,) chance of rain. rain_mean_mm : (366,) of a wet day. rain_shape : gamma
    shape.
    mean : (2, 366, 3) figures of dry and wet days. sd : (2, 3). a, b : (3, 3) matrices of the residuals.
    """

    after_dry_frac: Floats
    after_wet_frac: Floats
    rain_mean_mm: Floats
    rain_shape: float
    mean: Floats
    sd: Floats
    a: Floats
    b: Floats


@dataclass(frozen=True)
class Examples:
    """Whole days kept as examples, in local standard time. Arrays (days, 24) unless said; units as in Weather.

    day_of_year : (days,) 0 to 365. is_wet : (days,). figures : (days, 3). rain_share_frac : of the day's rain in each
    hour.
    clear_frac : share of clear-sky sun.
    """

    day_of_year: NDArray[np.int64]
    is_wet: NDArray[np.bool_]
    figures: Floats
    temperature_c: Floats
    dew_point_c: Floats
    wind_speed_m_s: Floats
    rain_share_frac: Floats
    clear_frac: Floats
    cloud_frac: Floats


@dataclass(frozen=True)
class Climate:
    """A place's climate as learnt from its history.

    known_days : whole days of its own that were learnt from. assumed : whether an assumed climate was mixed in, because
    the history was short. moist_wet_frac, moist_dry_frac, moist_sd_frac : mean humidity of wet and of dry days, and the
    standard deviation within each.
    """

    place: Place
    daily: DailyClimate
    examples: Examples
    known_days: int
    assumed: bool
    moist_wet_frac: float
    moist_dry_frac: float
    moist_sd_frac: float


def by_day(months: tuple[float, ...]) -> Floats:
    """Twelve monthly means as a smooth course over 366 days."""
    position = np.concatenate([_MID_MONTH_D - 365.25, _MID_MONTH_D, _MID_MONTH_D + 365.25])
    return np.asarray(np.interp(np.arange(DAYS) + 0.5, position, np.tile(np.array(months, float), 3)))


def assumed_sketch(place: Place) -> ClimateSketch:
    """A climate for a place of which nothing but its position is known: a rough world by latitude and height."""
    latitude = place.latitude_deg
    mean_c = constant("assumed", "equator_mean_c") - constant("assumed", "poleward_k_per_deg2") * latitude**2
    mean_c -= constant("assumed", "lapse_k_per_m") * place.elevation_m
    # warmest about a month after the longest day
    season = np.cos(2 * np.pi * (_MID_MONTH_D - 200.0) / 365.25) * constant("assumed", "season_k_per_deg") * latitude
    half_k = constant("assumed", "daily_swing_k") / 2
    rest = {
        name: constant("assumed", name)
        for name in (
            "dew_point_below_min_k",
            "wind_m_s",
            "day_sd_k",
            "wet_day_cooler_k",
            "clear_dry_frac",
            "clear_wet_frac",
            "clear_sd_frac",
        )
    }
    return ClimateSketch(
        min_c=tuple((mean_c + season - half_k).tolist()),
        max_c=tuple((mean_c + season + half_k).tolist()),
        rain_days=tuple((_MONTH_D * constant("assumed", "wet_day_frac")).tolist()),
        rain_per_wet_day_mm=(constant("assumed", "rain_per_wet_day_mm"),) * 12,
        **rest,
    )


def daily_of_sketch(sketch: ClimateSketch) -> DailyClimate:
    """The daily statistics a sketch stands for. Sources: geng1986 for rain, richardson1982 for the correlations."""
    wet_frac = np.clip(by_day(sketch.rain_days) / (365.25 / 12), 0.01, 0.95)
    after_dry, after_wet = rain_chances_frac(wet_frac)
    rain_mean_mm = by_day(sketch.rain_per_wet_day_mm)
    low_c, high_c = by_day(sketch.min_c), by_day(sketch.max_c)
    # cooler with rain, warmer without, so that the month's mean stays what the sketch says
    dry = np.stack([high_c + wet_frac * sketch.wet_day_cooler_k, low_c, np.full(DAYS, sketch.clear_dry_frac)], axis=-1)
    wet = np.stack([dry[:, 0] - sketch.wet_day_cooler_k, low_c, np.full(DAYS, sketch.clear_wet_frac)], axis=-1)
    a, b = wgen_matrices(*published_correlations())
    return DailyClimate(
        after_dry_frac=after_dry,
        after_wet_frac=np.minimum(after_wet, 0.98),
        rain_mean_mm=rain_mean_mm,
        rain_shape=rain_gamma(float(rain_mean_mm.mean()))[0],
        mean=np.stack([dry, wet]),
        sd=np.tile([sketch.day_sd_k, sketch.day_sd_k, sketch.clear_sd_frac], (2, 1)),
        a=a,
        b=b,
    )
