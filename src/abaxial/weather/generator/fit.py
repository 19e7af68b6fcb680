"""Learning a place's climate from its own history, helped by an assumed one where the history is short."""

from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from abaxial.place import Place
from abaxial.weather import disaggregation, doubt
from abaxial.weather.generator.climate import (
    DAYS,
    Climate,
    ClimateSketch,
    DailyClimate,
    Examples,
    assumed_sketch,
    by_day,
    daily_of_sketch,
)
from abaxial.weather.generator.days import day_of_year, first_midnight
from abaxial.weather.generator.invent import invent
from abaxial.weather.generator.matrices import constant, gamma_shape, published_correlations, wgen_matrices
from abaxial.weather.generator.sky import believed, completed_sky
from abaxial.weather.series import VARIABLES, Floats, Weather

Bools = NDArray[np.bool_]
_INVENTED_SEED, _INVENTED_DAYS = 1, 400
#: fewest of a kind from which a shape or a contrast is learnt
_FEW = 10


@dataclass(frozen=True)
class _Table:
    """Days of a history in local standard time. number : (days,) day count; the rest (days, 24), NaN where not
    known."""

    number: NDArray[np.int64]
    day_of_year: NDArray[np.int64]
    temperature_c: Floats
    dew_point_c: Floats
    humidity_frac: Floats
    wind_speed_m_s: Floats
    rain_mm: Floats
    clear_frac: Floats
    cloud_frac: Floats


def fit(weather: Weather, place: Place) -> Climate:
    """The climate of a place, from its hourly history.

    weather : any series; forecasts and values not believed are left aside. With fewer than `history.enough_days` whole
    days (doubt.toml) the assumed climate of the position, moved to agree with the days there are, is mixed in.
    Sources: richardson1981, geng1986, hosking1990.
    """
    table = _table(weather, place)
    whole = _only(table, _complete(table.temperature_c) & _complete(table.dew_point_c))
    gauged = _only(whole, _complete(whole.rain_mm))
    sketch = _moved(assumed_sketch(place), whole)
    daily = _daily(whole, daily_of_sketch(sketch))
    enough = doubt.value("history", "enough_days")
    assumed = whole.number.size < enough
    history = gauged
    if assumed:
        invented = invent(place, sketch, first_hour=weather.first_hour, hours=24 * _INVENTED_DAYS, seed=_INVENTED_SEED)
        history = _joined(gauged, _table(invented, place))
    elif gauged.number.size < enough:
        history = _with_guessed_rain(whole, daily)
    wet_frac, dry_frac, sd_frac = _moist(gauged)
    return Climate(
        place=place,
        daily=daily,
        examples=_examples(history, history.rain_mm.sum(1) >= constant("rain", "wet_day_mm")),
        known_days=whole.number.size,
        assumed=assumed,
        moist_wet_frac=wet_frac,
        moist_dry_frac=dry_frac,
        moist_sd_frac=sd_frac,
    )


def _table(weather: Weather, place: Place) -> _Table:
    share, cloud = completed_sky(weather, place)
    values = {name: believed(weather, name) for name in VARIABLES}
    begin = first_midnight(weather.first_hour + 23, place)
    skip = begin - weather.first_hour
    days = max((weather.hours - skip) // 24, 0)

    def block(hourly: Floats) -> Floats:
        return hourly[skip : skip + 24 * days].reshape(days, 24)

    air_c, humidity = block(values["temperature_c"]), block(values["relative_humidity_frac"])
    midnights = begin + 24 * np.arange(days)
    return _Table(
        number=midnights // 24,
        day_of_year=day_of_year(midnights, place),
        temperature_c=air_c,
        dew_point_c=disaggregation.dew_point_c(air_c, humidity),
        humidity_frac=humidity,
        wind_speed_m_s=np.where(
            np.isfinite(block(values["wind_speed_m_s"])),
            block(values["wind_speed_m_s"]),
            constant("assumed", "wind_m_s"),
        ),
        rain_mm=block(values["rain_mm"]),
        clear_frac=_or_from_range(block(share), air_c, as_sun=True),
        cloud_frac=_or_from_range(block(cloud), air_c, as_sun=False),
    )


def _or_from_range(values: Floats, air_c: Floats, *, as_sun: bool) -> Floats:
    """The values; where missing, what the day's swing of temperature says of its sky."""
    cloud = disaggregation.cloud_from_range_frac(air_c.min(axis=1), air_c.max(axis=1))[:, None]
    return np.where(np.isfinite(values), values, disaggregation.dimmed_frac(cloud) if as_sun else cloud)


def _complete(values: Floats) -> Bools:
    """Which days have all 24 hours, shape (days,)."""
    return np.asarray(np.isfinite(values).all(axis=1))


def _only(table: _Table, which: Bools) -> _Table:
    return _Table(**{each.name: getattr(table, each.name)[which] for each in fields(table)})


def _joined(first: _Table, second: _Table) -> _Table:
    return _Table(
        **{each.name: np.concatenate([getattr(first, each.name), getattr(second, each.name)]) for each in fields(first)}
    )


def _figures(table: _Table) -> Floats:
    return np.stack([table.temperature_c.max(1), table.temperature_c.min(1), table.clear_frac.mean(1)], axis=-1)


def _moved(sketch: ClimateSketch, whole: _Table) -> ClimateSketch:
    """The assumed sketch moved to agree with the days there are, the more the more days there are."""
    count = whole.number.size
    if count == 0:
        return sketch
    trust = count / (count + 3.0)
    low_k = trust * float((whole.temperature_c.min(1) - by_day(sketch.min_c)[whole.day_of_year]).mean())
    high_k = trust * float((whole.temperature_c.max(1) - by_day(sketch.max_c)[whole.day_of_year]).mean())
    depth_k = float((whole.temperature_c.min(1) - whole.dew_point_c.mean(1)).mean())
    low = tuple(each + low_k for each in sketch.min_c)
    return replace(
        sketch,
        min_c=low,
        max_c=tuple(max(each + high_k, lowest + 2.0) for each, lowest in zip(sketch.max_c, low, strict=True)),
        dew_point_below_min_k=(1 - trust) * sketch.dew_point_below_min_k + trust * depth_k,
    )


def _daily(whole: _Table, base: DailyClimate) -> DailyClimate:
    """Daily statistics: the base, pulled towards what these days say; rain from those with a gauge."""
    if whole.number.size < 3:
        return base
    gauged = _only(whole, _complete(whole.rain_mm))
    rainy = _rain(gauged, base) if gauged.number.size >= 3 else base
    wet = np.nan_to_num(whole.rain_mm).sum(1) >= constant("rain", "wet_day_mm")
    figures = _figures(whole)
    # where nobody measured rain, a day's figures speak for dry and wet days alike
    no_gauge = ~_complete(whole.rain_mm)
    kinds = (~wet, wet | no_gauge)
    mean = np.stack(
        [
            np.stack(
                [
                    _course(figures[kind, item], whole.day_of_year[kind], base.mean[which, :, item], 2.0)
                    for item in range(3)
                ],
                axis=-1,
            )
            for which, kind in enumerate(kinds)
        ]
    )
    residual = figures - mean[wet.astype(int), whole.day_of_year]
    sd = np.stack(
        [
            np.sqrt(((residual[kind] ** 2).sum(0) + _FEW * base.sd[which] ** 2) / (kind.sum() + _FEW))
            for which, kind in enumerate(kinds)
        ]
    )
    a, b = _matrices(residual / sd[wet.astype(int)], np.diff(whole.number) == 1, base)
    return replace(rainy, mean=mean, sd=sd, a=a, b=b)


def _rain(gauged: _Table, base: DailyClimate) -> DailyClimate:
    """The base with its rain pulled towards what gauged days say."""
    wet = gauged.rain_mm.sum(1) >= constant("rain", "wet_day_mm")
    follows = np.diff(gauged.number) == 1
    pull = constant("fit", "pull_days")
    chances = {}
    for name, before in (("after_dry_frac", ~wet[:-1]), ("after_wet_frac", wet[:-1])):
        use = follows & before
        course = _course(wet[1:][use].astype(float), gauged.day_of_year[1:][use], getattr(base, name), pull)
        chances[name] = np.clip(course, 0.01, 0.98)
    amounts_mm = gauged.rain_mm.sum(1)[wet]
    mean_mm = np.maximum(_course(amounts_mm, gauged.day_of_year[wet], base.rain_mean_mm, pull), 0.5)
    shape = gamma_shape(amounts_mm) if amounts_mm.size >= _FEW else base.rain_shape
    return replace(base, rain_mean_mm=mean_mm, rain_shape=shape, **chances)


def _course(values: Floats, on: NDArray[np.int64], base: Floats, pull_level: float) -> Floats:
    """The base moved by a level and one yearly wave, fitted with a pull towards no change; shape (366,).

    Few days move only the level, a whole year moves the wave as well.
    """
    angle = 2 * np.pi * np.arange(DAYS) / 365.25
    waves = np.stack([np.ones(DAYS), np.cos(angle), np.sin(angle)], axis=-1)
    here = waves[on]
    pull = np.diag([pull_level, constant("fit", "season_pull_days"), constant("fit", "season_pull_days")])
    moved = np.linalg.solve(here.T @ here + pull, here.T @ (values - base[on]))
    return np.asarray(base + waves @ moved)


def _matrices(residual: Floats, follows: Bools, base: DailyClimate) -> tuple[Floats, Floats]:
    """A and B from residuals, their correlations pulled towards the published ones."""
    pull, count = constant("fit", "pull_days"), int(follows.sum())
    published = published_correlations()
    found = (
        residual.T @ residual / residual.shape[0],
        residual[1:][follows].T @ residual[:-1][follows] / max(count, 1),
    )
    # days that are all alike have nothing to correlate: their share of the pull is then zero
    scale = np.maximum(np.sqrt(np.diag(found[0])), 1e-6)
    m0, m1 = (
        (count * each / np.outer(scale, scale) + pull * known) / (count + pull)
        for each, known in zip(found, published, strict=True)
    )
    try:
        return wgen_matrices(m0, m1)
    except np.linalg.LinAlgError:
        return base.a, base.b


def _moist(gauged: _Table) -> tuple[float, float, float]:
    """Mean humidity of wet days and of dry days, and the standard deviation within each, 0 to 1; the assumed
    contrast, about no particular mean, where a place has too few of either."""
    wet = gauged.rain_mm.sum(1) >= constant("rain", "wet_day_mm")
    moist = gauged.humidity_frac.mean(axis=1)
    if min(int(wet.sum()), int((~wet).sum())) < _FEW:
        middle = float(moist.mean()) if moist.size else constant("assumed", "moist_mean_frac")
        return (
            middle + constant("assumed", "moist_wet_more_frac") / 2,
            middle - constant("assumed", "moist_wet_more_frac") / 2,
            constant("assumed", "moist_sd_frac"),
        )
    wet_frac, dry_frac = float(moist[wet].mean()), float(moist[~wet].mean())
    within = moist - np.where(wet, wet_frac, dry_frac)
    # never wetter when drier: a chance contrast in few days must not turn the sign
    return max(wet_frac, dry_frac), dry_frac, max(float(within.std()), 0.02)


def _with_guessed_rain(whole: _Table, daily: DailyClimate) -> _Table:
    """The days with rain guessed where no gauge stood: the moistest days are taken as wet, in their moistest hours."""
    unknown = ~_complete(whole.rain_mm)
    after_dry = daily.after_dry_frac.mean()
    wet_frac = after_dry / (1.0 + after_dry - daily.after_wet_frac.mean())
    moist = whole.humidity_frac.mean(axis=1)
    wet = moist > np.quantile(moist[unknown], 1.0 - wet_frac)
    weight = whole.humidity_frac ** disaggregation.constant("moist_hour_preference")
    weight = np.where(whole.humidity_frac >= np.quantile(whole.humidity_frac, 0.8, axis=1)[:, None], weight, 0.0)
    guessed = np.where(wet[:, None], weight / weight.sum(axis=1, keepdims=True) * daily.rain_mean_mm.mean(), 0.0)
    return replace(whole, rain_mm=np.where(unknown[:, None], guessed, whole.rain_mm))


def _examples(history: _Table, wet: Bools) -> Examples:
    kept = slice(-int(constant("fit", "most_days")), None)
    total_mm = history.rain_mm.sum(1, keepdims=True)
    return Examples(
        day_of_year=history.day_of_year[kept],
        is_wet=wet[kept],
        figures=_figures(history)[kept],
        temperature_c=history.temperature_c[kept],
        dew_point_c=history.dew_point_c[kept],
        wind_speed_m_s=history.wind_speed_m_s[kept],
        rain_share_frac=np.where(wet[:, None], history.rain_mm / np.maximum(total_mm, 1e-9), 0.0)[kept],
        clear_frac=history.clear_frac[kept],
        cloud_frac=history.cloud_frac[kept],
    )
