"""What must be true of any leaf in any weather."""

import numpy as np
from hypothesis import assume, given
from hypothesis import strategies as st
from tests.one_leaf import Hours, drivers_of, run, wet_hours

from abaxial.microclimate import kernel, radiation

HOURS = 12
temperatures = st.floats(2.0, 35.0)
humidities = st.floats(0.3, 0.995)
winds = st.floats(0.1, 6.0)
skies = st.floats(0.0, 1.0)
films = st.floats(0.0, 0.15)


@given(temperatures, st.floats(0.3, 1.0), winds, skies, st.floats(0.3, 1.4), films)
def test_dew_never_exceeds_eight_hundredths_of_a_millimetre_an_hour(t, rh, u, sky, exchange, film):
    weather = Hours(t, rh, u, sky_frac=sky, exchange_factor=exchange, storage_mm=10.0)

    gain = np.diff(run(weather, HOURS, film_mm=film)[:, 3])

    assert gain.max() < 0.08


@given(temperatures, humidities, winds, skies, st.floats(0.0, 900.0), films)
def test_energy_closes_at_the_leaf(t, rh, u, sky, sun, film):
    weather = Hours(t, rh, u, sun_w_m2=sun, sky_frac=sky, storage_mm=10.0)
    drivers, leaf = drivers_of(weather, HOURS)
    start = np.full((1, 3, 1), max(film, 0.001))
    start[:, 2] = 0.0
    answer = np.empty((1, HOURS, 4, 1), np.float32)
    films = [float(start[0, :2].sum())]
    imbalance = []
    for h in range(HOURS):
        one = drivers._replace(air=drivers.air[h : h + 1])
        kernel.leaf_hours(start, one, leaf, answer[:, h : h + 1])
        films.append(float(start[0, :2].sum()))
        imbalance.append(_imbalance_w_m2(weather, drivers, float(start[0, 2, 0]), films[-2] - films[-1]))

    assert np.abs(imbalance).max() < 2.0


def _imbalance_w_m2(weather, drivers, difference, lost_mm):
    """Radiation, heat and evaporation of the hour, from the textbook terms and the film that went."""
    t = weather.temperature_c
    gained = 0.5 * drivers.air[0, 6, 0] * weather.sky_frac + 0.97 * weather.sky_frac * drivers.air[0, 7, 0]
    emitted = 2 * 0.97 * (radiation.longwave_w_m2(1.0, t + difference) - radiation.longwave_w_m2(1.0, t))
    forced = kernel.FORCED_HEAT / 0.2 * weather.wind_m_s * weather.exchange_factor**2
    exchange = np.sqrt(forced + kernel.FREE_HEAT / np.sqrt(0.2) * np.sqrt(abs(difference)))
    return gained - emitted - 2 * 29.3 * exchange * difference - kernel.LATENT_W_PER_MM_H * lost_mm


@given(temperatures, humidities, winds, skies, st.floats(0.0, 5.0), films)
def test_rain_never_shortens_a_wet_spell(t, rh, u, sky, rain, film):
    falls = np.where(np.arange(HOURS) == 2, rain, 0.0)
    without, with_rain = Hours(t, rh, u, sky_frac=sky), Hours(t, rh, u, rain_mm=falls, sky_frac=sky)

    assert wet_hours(with_rain, HOURS, film_mm=film) >= wet_hours(without, HOURS, film_mm=film) - 1e-3


@given(temperatures, humidities, winds, skies, st.floats(0.0, 5.0), films)
def test_overhead_water_never_shortens_a_wet_spell(t, rh, u, sky, water, film):
    given_mm = np.where(np.arange(HOURS) == 3, water, 0.0)
    dry, watered = Hours(t, rh, u, sky_frac=sky), Hours(t, rh, u, overhead_mm=given_mm, sky_frac=sky)

    assert wet_hours(watered, HOURS, film_mm=film) >= wet_hours(dry, HOURS, film_mm=film) - 1e-3


@given(temperatures, humidities, st.floats(0.0, 0.1), winds, skies, st.floats(0.0, 600.0), films)
def test_moister_air_never_shortens_a_wet_spell(t, rh, more, u, sky, sun, film):
    drier = Hours(t, rh, u, sun_w_m2=sun, sky_frac=sky)
    moister = drier._replace(relative_humidity_frac=min(rh + more, 1.0))

    assert wet_hours(moister, HOURS, film_mm=film) >= wet_hours(drier, HOURS, film_mm=film) - 1e-3


@given(temperatures, humidities, winds, skies, st.floats(0.0, 500.0), st.floats(0.0, 400.0), films)
def test_daytime_sun_never_lengthens_a_wet_spell(t, rh, u, sky, sun, more, film):
    dim = Hours(t, rh, u, sun_w_m2=sun, sky_frac=sky)
    bright = dim._replace(sun_w_m2=sun + more)

    assert wet_hours(bright, HOURS, film_mm=film) <= wet_hours(dim, HOURS, film_mm=film) + 1e-3


@given(temperatures, st.floats(0.3, 0.86), winds, st.floats(1.0, 4.0), skies, st.floats(0.0, 500.0), films)
def test_wind_in_unsaturated_air_never_lengthens_a_wet_spell(t, rh, u, faster, sky, sun, film):
    """The law of water, so with hardly a trace of salt in it. Where a leaf gains dew, more wind may first bring more of it;
    and wind keeps a sunlit leaf nearer to air that is moist enough (above 86 %) to hold a film by itself: docs/edges.md
    names both."""
    calm = Hours(t, rh, u, sun_w_m2=sun, sky_frac=sky, solute_mm=1e-7)
    windy = calm._replace(wind_m_s=u * faster)
    assume(np.diff(run(calm, HOURS, film_mm=film)[:, 3], prepend=2.0 * max(film, 1e-7)).max() <= 1e-6)

    assert wet_hours(windy, HOURS, film_mm=film) <= wet_hours(calm, HOURS, film_mm=film) + 1e-3
