"""Which hours are fit for spraying, what closes the others, and what is said when none is fit."""

import math

import numpy as np
import pytest

from abaxial.errors import FaultError, RequestError
from abaxial.label.bottle import Label
from abaxial.label.window import closings, from_label, hours_ahead, limits, site
from abaxial.label.window.closings import KINDS, Air, Use
from abaxial.label.window.from_weather import air_ahead
from abaxial.label.window.site import SiteFacts
from abaxial.place import Place
from abaxial.remedy.material import read_material
from abaxial.weather.ensemble import WeatherEnsemble

LIMITS = limits.read_limits()
QUIET = SiteFacts(math.inf, math.inf, False, False, False, False)
PLAIN = Use(math.inf, oil=False, spares_flowers=False, flowers_open=False, bees_count=False, closed_for_good=())
HOURS, MEMBERS = 12, 5


def air_of(*, hours=HOURS, members=MEMBERS, **changed):
    """A mild, breezy, dry day with the sun up, hour by hour the same but for what is changed."""
    wide = {
        "temperature_c": 18.0, "relative_humidity_frac": 0.6, "wind_speed_m_s": 2.5, "rain_mm": 0.0, "cloud_frac": 0.3,
        "shortwave_w_m2": 300.0, "wet_frac": 0.0,
    }  # fmt: skip
    full = {name: np.full((hours, members), value) for name, value in wide.items()}
    narrow = {"sun_elevation_deg": np.full(hours, 35.0), "at_work": np.ones(hours, bool)}
    air = Air(**full, **narrow, pressure_kpa=101.3)
    for name, (rows, value) in changed.items():
        getattr(air, name)[rows] = value
    return air


def hours_of(air, use=PLAIN, within=LIMITS):
    return hours_ahead.hours_fit(air, within, use)


def reason_for(air, use=PLAIN, row=2):
    return hours_of(air, use)[row].first


def test_a_mild_breezy_dry_hour_is_fit():
    hours = hours_of(air_of())

    assert hours[2] == (2, 1.0, True, "", ())


@pytest.mark.parametrize(
    ("name", "value", "kind"),
    [
        ("wind_speed_m_s", 0.5, "too_still"),
        ("wind_speed_m_s", 5.0, "too_windy"),
        ("temperature_c", 4.0, "too_cold"),
        ("temperature_c", 29.5, "too_hot"),
        ("relative_humidity_frac", 0.9, "air_too_moist"),
        ("relative_humidity_frac", 0.2, "air_too_dry"),
        ("wet_frac", 0.5, "leaves_wet"),
        ("rain_mm", 0.5, "rain_now"),
        ("at_work", False, "not_at_work"),
        ("sun_elevation_deg", -10.0, "dark"),
        ("cloud_frac", np.nan, "weather_unknown"),
        ("shortwave_w_m2", np.nan, "weather_unknown"),
    ],
)
def test_each_limit_closes_an_hour_by_its_own_name(name, value, kind):
    assert reason_for(air_of(**{name: (2, value)})) == kind


def test_rain_closes_the_hours_before_it_for_as_long_as_the_spray_must_dry():
    hours = hours_of(air_of(rain_mm=(7, 3.0)))

    assert [each.row for each in hours if each.first == "rain_to_come"] == [3, 4, 5, 6]
    assert hours[2].is_open


def test_drizzle_spread_over_hours_counts_as_rain():
    assert reason_for(air_of(rain_mm=(slice(3, 7), 0.08))) == "rain_to_come"


def test_a_spray_that_dries_sooner_needs_less_dry_time():
    quick = limits.with_label(LIMITS, {"rain_fast_h": 1.0})

    assert hours_of(air_of(rain_mm=(7, 3.0)), within=quick)[5].is_open


def test_where_the_weather_ends_nothing_is_promised():
    hours = hours_of(air_of())

    assert [each.row for each in hours if each.first == "weather_ends"] == [8, 9, 10, 11]


def test_rain_that_nobody_forecasts_is_not_taken_as_none():
    assert reason_for(air_of(rain_mm=(5, np.nan))) == "weather_ends"


def test_an_hour_is_open_when_enough_of_the_possible_weathers_agree():
    one = hours_of(air_of(wind_speed_m_s=((2, 0), 6.0)))[2]
    two = hours_of(air_of(wind_speed_m_s=((2, slice(0, 2)), 6.0)))[2]

    assert (one.fit_frac, one.is_open) == (0.8, True)
    assert (two.fit_frac, two.is_open, two.first) == (0.6, False, "too_windy")
    assert one.reasons == (("too_windy", 0.2),)


def test_all_reasons_of_an_hour_are_told():
    hour = hours_of(air_of(wind_speed_m_s=(2, 6.0), temperature_c=(2, 31.0), relative_humidity_frac=(2, 0.6)))[2]

    assert {each.kind for each in hour.reasons} == {"too_windy", "too_hot"}


def test_clear_calm_evenings_lie_in_layers():
    low = {"sun_elevation_deg": (2, 5.0), "wind_speed_m_s": (2, 1.5)}

    assert reason_for(air_of(**low)) == "layered_air"
    assert reason_for(air_of(**low, cloud_frac=(2, 0.9))) == ""
    assert reason_for(air_of(sun_elevation_deg=(2, 5.0))) == ""


def test_a_product_that_burns_in_heat_waits_for_the_cool_of_the_day():
    use = PLAIN._replace(heat_stop_c=27.0)
    hours = hours_of(air_of(hours=20, temperature_c=(6, 28.0)), use)

    assert [hours[row].first for row in (0, 5, 6)] == ["heat_to_come", "heat_to_come", "too_hot"]
    assert hours_of(air_of(temperature_c=(6, 28.0)))[5].is_open


def test_oil_is_not_sprayed_into_full_sun():
    sunny = air_of(shortwave_w_m2=(2, 800.0))

    assert reason_for(sunny, PLAIN._replace(oil=True)) == "sun_on_oil"
    assert reason_for(sunny) == ""


def test_bees_close_warm_hours_of_light_and_leave_the_dusk():
    use = PLAIN._replace(bees_count=True)
    air = air_of(sun_elevation_deg=(3, -3.5), temperature_c=(4, 9.0))

    assert [each.first for each in hours_of(air, use)[2:5]] == ["bees_flying", "", ""]


def test_what_forbids_open_flowers_is_closed_until_somebody_says_there_are_none():
    use = PLAIN._replace(spares_flowers=True)

    assert reason_for(air_of(), use) == ""
    assert reason_for(air_of(), use._replace(flowers_open=True)) == "open_flowers"
    assert reason_for(air_of(), use._replace(flowers_open=None)) == "open_flowers"


def test_a_window_is_as_long_as_the_job_and_the_surest_comes_first():
    air = air_of(hours=20, wind_speed_m_s=((slice(4, 7)), 6.0))
    air.wind_speed_m_s[(1, 3), 0] = 6.0
    found = closings.closings(air, LIMITS, PLAIN)

    got = hours_ahead.windows(found, LIMITS, needed_h=2.0)

    assert [(each.start, each.end) for each in got] == [(7, 16), (0, 4)]
    assert [each.fit_frac for each in got] == [1.0, 0.8]
    assert [each.best for each in got] == [7, 0]


def test_half_an_hour_of_work_still_takes_a_whole_fit_hour():
    found = closings.closings(air_of(), LIMITS, PLAIN)

    assert hours_ahead.windows(found, LIMITS, needed_h=0.5) == hours_ahead.windows(found, LIMITS, needed_h=1.0)


def test_hours_that_are_fit_in_different_weathers_do_not_make_a_window():
    air = air_of(wind_speed_m_s=((2, 0), 6.0))
    air.wind_speed_m_s[3, 1] = 6.0
    found = closings.closings(air, LIMITS, PLAIN)

    starts = [each.start for each in hours_ahead.windows(found, LIMITS, needed_h=2.0)]
    assert hours_ahead.hours_of(found, LIMITS)[2].is_open
    assert hours_ahead.hours_of(found, LIMITS)[3].is_open
    assert 2 not in starts
    assert len(starts) == 2


def test_a_job_longer_than_any_fit_stretch_has_no_window():
    found = closings.closings(air_of(), LIMITS, PLAIN)

    assert hours_ahead.windows(found, LIMITS, needed_h=9.0) == ()
    assert hours_ahead.windows(found, LIMITS, needed_h=50.0) == ()


@pytest.mark.parametrize("length", [0.0, -1.0, math.nan, math.inf])
def test_a_job_without_a_length_is_refused(length):
    with pytest.raises(RequestError, match="has no window"):
        hours_ahead.windows(closings.closings(air_of(), LIMITS, PLAIN), LIMITS, needed_h=length)


def test_when_no_hour_is_fit_what_closed_most_is_named_first():
    air = air_of(hours=30, wind_speed_m_s=(slice(None), 6.0), temperature_c=(slice(0, 10), 31.0))
    air.sun_elevation_deg[20:] = -20.0
    air.relative_humidity_frac[:10] = 0.6
    found = closings.closings(air, LIMITS, PLAIN)

    told = hours_ahead.what_closes(found, LIMITS)

    assert [(each.kind, each.hours) for each in told] == [("too_windy", 20), ("too_hot", 10)]
    assert told[0].alone == 10
    assert told[1].alone == 0


def test_where_nobody_is_ever_there_that_is_what_is_said():
    found = closings.closings(air_of(at_work=(slice(None), False)), LIMITS, PLAIN)

    assert hours_ahead.what_closes(found, LIMITS)[0].kind == "not_at_work"


def test_a_day_without_a_closed_hour_has_nothing_to_explain():
    quick = limits.with_label(LIMITS, {"rain_fast_h": 0.0})
    found = closings.closings(air_of(), quick, PLAIN)

    assert hours_ahead.what_closes(found, quick) == ()


def test_every_kind_of_reason_is_always_there():
    found = closings.closings(air_of(), LIMITS, PLAIN)

    assert tuple(found.closed) == KINDS
    assert all(rows.shape == (HOURS, MEMBERS) for rows in found.closed.values())


def test_hours_of_unequal_length_are_our_own_mistake():
    air = air_of()

    with pytest.raises(FaultError):
        hours_of(air._replace(rain_mm=air.rain_mm[:-1]))
    with pytest.raises(FaultError):
        hours_of(air._replace(at_work=air.at_work[:-1]))


def test_every_question_about_a_bed_is_asked_once():
    assert site.unasked(SiteFacts()) == SiteFacts._fields
    assert site.unasked(QUIET) == ()
    assert site.unasked(QUIET._replace(fish_m=None)) == ("fish_m",)


@pytest.mark.parametrize("distance", [-1.0, math.nan])
def test_a_distance_is_nought_or_more(distance):
    with pytest.raises(RequestError, match="fish_m"):
        site.demand_answers(QUIET._replace(fish_m=distance))


def test_a_pond_inside_the_buffer_shuts_the_bed_for_good():
    near = QUIET._replace(fish_m=4.0)

    assert site.closed_for_good(near, LIMITS, buffer_m=6.0, harms=()) == ("water_too_near",)
    assert site.closed_for_good(near, LIMITS, buffer_m=None, harms=("fish",)) == ("water_too_near",)
    assert site.closed_for_good(near, LIMITS, buffer_m=3.0, harms=()) == ()
    assert reason_for(air_of(), PLAIN._replace(closed_for_good=("water_too_near",))) == "water_too_near"


def test_each_answer_adds_its_own_caution():
    everything = SiteFacts(80.0, 6.0, True, True, True, True)

    assert site.site_cautions(everything, LIMITS) == (
        "animals_away_until_dry", "bowls_and_feed_in", "children_away_until_dry", "toys_in", "washing_in",
        "inlet_of_tank_off", "tell_beekeeper", "cover_pond",
    )  # fmt: skip
    assert site.site_cautions(QUIET, LIMITS) == ()


def test_a_hive_next_door_counts_as_open_flowers():
    assert site.bees_count(QUIET._replace(hives_m=20.0), LIMITS, flowers_open=False)
    assert not site.bees_count(QUIET._replace(hives_m=200.0), LIMITS, flowers_open=False)
    assert site.bees_count(QUIET, LIMITS, flowers_open=None)


def test_a_label_may_be_stricter_and_is_never_laxer():
    stricter = limits.with_label(LIMITS, {"wind_most_m_s": 3.0, "temperature_most_c": 40.0, "buffer": None})

    assert stricter.wind_most_m_s == 3.0
    assert stricter.temperature_most_c == LIMITS.temperature_most_c


def test_a_person_may_tighten_a_limit_and_not_loosen_it():
    assert limits.tightened(LIMITS, {"wind_most_m_s": 3.0}).wind_most_m_s == 3.0
    for wanted in ({"wind_most_m_s": 6.0}, {"rain_fast_h": 1.0}, {"fit_least_frac": 0.5}, {"wind_most_m_s": math.nan}):
        with pytest.raises(RequestError, match="only be made stricter"):
            limits.tightened(LIMITS, wanted)
    with pytest.raises(RequestError, match="not a limit"):
        limits.tightened(LIMITS, {"moon": 1.0})


LABEL = Label(
    form="liquid", actives={}, strength_unit="g_per_ml", rate=None, sites=(), pests=(), interval_d=7,
    most_applications=None, most_product_per_m2=None, reentry_h=0.0, rain_fast_h=None, protective=(), registration="",
)  # fmt: skip


def with_label(**said):
    return Label(**{**vars(LABEL), **said})


def test_of_a_mix_the_longest_dry_time_counts_and_the_label_knows_it_best():
    nature = from_label.Nature(rain_fast_h=6.0)

    def dry_h(*labels, nature=nature):
        return from_label.limits_for(labels, nature, LIMITS).rain_fast_h

    assert dry_h(with_label(rain_fast_h=1.0)) == 1.0
    assert dry_h(with_label(rain_fast_h=1.0), LABEL) == 6.0
    assert dry_h(LABEL, nature=from_label.Nature()) == LIMITS.rain_fast_h
    assert dry_h(with_label(rain_fast_h=1.0), with_label(rain_fast_h=2.0)) == 2.0


def test_oils_bring_their_heat_stop_and_the_label_its_wind():
    oil = from_label.nature_of([read_material("clarified_neem_extract"), read_material("azoxystrobin")])
    within = from_label.limits_for([with_label(wind_most_m_s=3.0)], oil, LIMITS)
    use = from_label.use_for([LABEL], oil, within, facts=QUIET, flowers_open=False)

    assert use.oil
    assert use.heat_stop_c <= 32.0
    assert within.wind_most_m_s == 3.0
    assert not use.bees_count


def test_a_label_that_spares_open_flowers_is_obeyed():
    use = from_label.use_for(
        [with_label(spare_open_flowers=True)], from_label.Nature(), LIMITS, facts=QUIET, flowers_open=True
    )

    assert reason_for(air_of(), use) == "open_flowers"


def test_no_hour_is_spoken_of_before_the_questions_are_answered():
    with pytest.raises(RequestError, match="hives_m"):
        from_label.use_for([LABEL], from_label.Nature(), LIMITS, facts=SiteFacts(), flowers_open=False)


PLACE = Place(latitude_deg=0.3, longitude_deg=32.6, elevation_m=1190.0, zone="Africa/Kampala")


def ensemble_of(*, hours=72, now=24, forecast=30):
    full = {
        name: np.full((hours, 3), value)
        for name, value in (
            ("temperature_c", 20.0), ("relative_humidity_frac", 0.6), ("wind_speed_m_s", 4.0), ("rain_mm", 0.0),
            ("shortwave_w_m2", 200.0), ("cloud_frac", 0.5),
        )
    }  # fmt: skip
    first = 480_000
    return WeatherEnsemble(first, first + now, first + now + forecast, **full, known_share_frac=1.0)


def test_only_what_was_forecast_is_looked_at():
    air = air_ahead(ensemble_of(), np.zeros((72, 3)), place=PLACE, shelter_frac=0.5, at_work=(6, 20))

    assert air.temperature_c.shape == (30, 3)
    assert air.wind_speed_m_s.max() == 2.0
    assert 85.0 < air.pressure_kpa < 90.0
    # fourteen hours of a day and what of them falls into the six hours more
    assert 14 <= air.at_work.sum() <= 20
    assert (air.sun_elevation_deg[air.at_work] > -6.0).mean() > 0.8


def test_without_a_forecast_there_are_no_hours():
    assert air_ahead(ensemble_of(forecast=0), np.zeros((72, 3)), place=PLACE, shelter_frac=1.0, at_work=(6, 20)) is None


def test_wetness_of_other_hours_and_impossible_working_hours_are_refused():
    with pytest.raises(FaultError):
        air_ahead(ensemble_of(), np.zeros((70, 3)), place=PLACE, shelter_frac=1.0, at_work=(6, 20))
    with pytest.raises(RequestError, match="from 20 to 6"):
        air_ahead(ensemble_of(), np.zeros((72, 3)), place=PLACE, shelter_frac=1.0, at_work=(20, 6))
