"""Members of the weather that was and will be."""

from dataclasses import replace

import numpy as np
import pytest
from tests.clock import quickest_s

from abaxial.place import Place
from abaxial.weather import doubt, generator
from abaxial.weather.members import is_enough, make_ensemble
from abaxial.weather.observations import RainObservation, gauge_observation
from abaxial.weather.series import VARIABLES, Mark, Weather, between, empty

PLACE = Place(-27.5, 153.0, 20.0, "Australia/Brisbane")
FIRST, NOW = 480_000, 480_000 + 24 * 100
END = NOW + 24 * 20
YEAR = generator.invent(PLACE, generator.assumed_sketch(PLACE), first_hour=FIRST, hours=24 * 130, seed=4)
RECORD = between(YEAR, FIRST, NOW)


def made(record=RECORD, **changes):
    return make_ensemble(record, PLACE, **{"now_hour": NOW, "end_hour": END, "seed": 1, **changes})


def marked(weather: Weather, mark: Mark) -> Weather:
    return replace(weather, marks={name: np.full(weather.hours, int(mark), np.uint8) for name in VARIABLES})


def without_rain(weather: Weather) -> Weather:
    return replace(weather, rain_mm=np.full(weather.hours, np.nan))


def spread(values):
    return float(values.std(axis=1).mean())


def lived(ensemble, name="temperature_c"):
    return getattr(ensemble, name)[: NOW - FIRST]


RECORDS = {
    "a station": RECORD,
    "a grid cell": marked(RECORD, Mark.GRID),
    "no gauge": without_rain(RECORD),
    "nothing at all": empty(FIRST, 24 * 100),
    "a week with a gap": replace(
        between(YEAR, NOW - 24 * 7, NOW), temperature_c=np.where(np.arange(168) % 100 < 40, np.nan, 20.0)
    ),
    "one hour": between(YEAR, NOW - 1, NOW),
    "no hour": between(YEAR, NOW, NOW),
}


@pytest.mark.parametrize("name", RECORDS)
def test_no_member_has_a_gap_or_an_impossible_value(name):
    ensemble = made(RECORDS[name])

    for variable in VARIABLES:
        values = getattr(ensemble, variable)
        assert np.isfinite(values).all()
        assert values.shape == (END - RECORDS[name].first_hour, 16)
        assert variable == "temperature_c" or values.min() >= 0.0
    assert ensemble.relative_humidity_frac.max() <= 1.0
    assert ensemble.cloud_frac.max() <= 1.0


def test_measured_hours_differ_between_members_only_by_the_sensors_doubt():
    difference = lived(made()) - RECORD.temperature_c[:, None]

    assert np.ptp(difference, axis=0).max() < 1e-9
    assert difference.std() == pytest.approx(doubt.value("temperature_k", "measured"), rel=0.25)


def test_doubting_does_not_make_the_air_drier():
    humidity = lived(made(), "relative_humidity_frac").mean()

    assert humidity == pytest.approx(RECORD.relative_humidity_frac.mean(), abs=0.01)


def test_a_grid_cell_is_less_sure_than_a_station_and_says_so():
    station, grid = made(), made(RECORDS["a grid cell"])

    assert spread(lived(grid)) > 2 * spread(lived(station))
    assert "grid_weather" in {each.kind for each in grid.findings}


def test_rain_nobody_recorded_is_unknown_and_never_dry():
    ensemble = made(RECORDS["no gauge"])

    assert (lived(ensemble, "rain_mm").sum(axis=0) > 0).all()
    assert {each.kind: each.details for each in ensemble.findings}["rain_unknown"]["days"] == 100


def test_unknown_rain_falls_on_moist_days():
    moist = without_rain(replace(RECORD, relative_humidity_frac=np.full(RECORD.hours, 0.95)))
    dry = without_rain(replace(RECORD, relative_humidity_frac=np.where(np.arange(RECORD.hours) < 1200, 0.95, 0.35)))
    rain_mm = lived(made(dry), "rain_mm")

    assert rain_mm[1224:].sum() < 0.3 * rain_mm[:1200].sum()
    assert lived(made(moist), "rain_mm").sum() > rain_mm.sum()


def test_each_member_agrees_with_a_gauge_within_its_error():
    seen = gauge_observation(NOW - 72, NOW - 12, 30.0)
    rain_mm = made(RECORDS["no gauge"], observations=[seen]).rain_mm[NOW - 72 - FIRST : NOW - 12 - FIRST]

    totals = np.log(rain_mm.sum(axis=0) / 30.0)
    assert np.abs(totals).max() < 3 * seen.log_sd
    assert totals.std() == pytest.approx(seen.log_sd, rel=0.3)


def test_a_dry_gauge_is_dry_in_every_member():
    seen = gauge_observation(NOW - 48, NOW, 0.0)

    assert made(RECORDS["no gauge"], observations=[seen]).rain_mm[NOW - 48 - FIRST : NOW - FIRST].sum() == 0.0


def test_rain_last_night_wets_every_member_but_not_by_the_same_amount():
    seen = RainObservation(NOW - 13, NOW, None, 0.8, True)
    totals = made(RECORDS["no gauge"], observations=[seen]).rain_mm[NOW - 13 - FIRST : NOW - FIRST].sum(axis=0)

    assert totals.min() > 0.0
    assert totals.max() > 2 * totals.min()


def test_a_short_note_keeps_the_last_word_within_a_long_one():
    week, night = gauge_observation(NOW - 168, NOW, 40.0), gauge_observation(NOW - 12, NOW, 0.0)

    assert made(observations=[night, week]).rain_mm[NOW - 12 - FIRST : NOW - FIRST].sum() == 0.0


def test_a_note_from_later_is_not_yet_known():
    later = gauge_observation(NOW - 12, NOW + 12, 500.0)

    assert (made(observations=[later]).rain_mm == made().rain_mm).all()


def test_what_was_measured_later_had_not_been_received():
    known_later = made(YEAR)

    assert (known_later.temperature_c == made().temperature_c).all()
    assert known_later.forecast_end_hour == NOW


def test_a_forecast_is_followed_closely_at_first_and_less_later():
    forecast = marked(between(YEAR, NOW, NOW + 24 * 7), Mark.FORECAST)
    ensemble = made(forecasts=[forecast])
    error = ensemble.temperature_c[NOW - FIRST :][: 24 * 7] - forecast.temperature_c[:, None]

    assert ensemble.forecast_end_hour == NOW + 24 * 7
    assert error[:6].std() < 0.7 * error[24:48].std() < 0.7 * error[-24:].std()


def test_members_of_a_forecast_are_used_in_turn():
    warm, cold = (
        replace(marked(between(YEAR, NOW, NOW + 48), Mark.FORECAST), temperature_c=np.full(48, air_c))
        for air_c in (35.0, 5.0)
    )
    ahead = made(forecasts=[warm, cold]).temperature_c[NOW - FIRST :][:48].mean(axis=0)

    assert (ahead[0::2] > 25).all()
    assert (ahead[1::2] < 15).all()


def test_the_outlook_begins_where_the_forecast_ends():
    forecast = marked(between(YEAR, NOW, NOW + 48), Mark.FORECAST)
    air_c = made(forecasts=[replace(forecast, temperature_c=np.full(48, 31.0))]).temperature_c
    step_k = np.diff(air_c[NOW + 47 - FIRST : NOW + 49 - FIRST], axis=0)

    assert np.abs(step_k.mean()) < 2.0


def test_the_same_seed_gives_the_same_members():
    assert all((getattr(made(), name) == getattr(made(), name)).all() for name in VARIABLES)


def test_a_suspect_value_is_not_used():
    stuck = replace(
        RECORD, temperature_c=RECORD.temperature_c.copy(), marks={n: m.copy() for n, m in RECORD.marks.items()}
    )
    stuck.temperature_c[1000] = 300.0
    stuck.marks["temperature_c"][1000] = Mark.RANGE

    assert made(stuck).temperature_c.max() < 60.0


def test_how_much_is_known_at_first_hand_is_said():
    assert made().known_share_frac == 1.0
    assert made(RECORDS["no gauge"]).known_share_frac == pytest.approx(2 / 3)
    assert made(RECORDS["nothing at all"]).known_share_frac == 0.0


def test_a_place_alone_is_not_enough_and_a_day_of_temperature_is():
    missing = is_enough(empty(FIRST, 240))

    assert missing is not None
    assert missing.kind == "nothing_known"
    assert is_enough(between(YEAR, FIRST, FIRST + 24)) is None


@pytest.mark.alone
def test_two_hundred_days_for_sixteen_members_take_a_moment():
    record = generator.invent(PLACE, generator.assumed_sketch(PLACE), first_hour=FIRST, hours=24 * 200, seed=4)
    dry = without_rain(record)

    assert quickest_s(lambda: made(dry, now_hour=dry.end_hour, end_hour=dry.end_hour + 24 * 20, seed=2)) < 0.6
