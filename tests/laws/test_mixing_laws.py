"""What holds for every mix and every hour: no card breaks a limit of its label, and no hour is let through that breaks one."""

import math

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from abaxial import chance
from abaxial.label.mixing import amounts, calibration
from abaxial.label.mixing.card import USUAL, MixCard, mix_card
from abaxial.label.mixing.habits import parameters, read_habits
from abaxial.label.mixing.job import Job, Product
from abaxial.label.window import closings, hours_ahead
from abaxial.label.window.closings import Air, Use
from abaxial.label.window.limits import read_limits
from abaxial.label.window.site import SiteFacts
from abaxial.microclimate import vapour

HABITS, LIMITS = read_habits(), read_limits()
QUIET = SiteFacts(math.inf, math.inf, False, False, False, False)
FORMS = ("wettable", "granule", "flowable", "solution", "emulsifiable", "surfactant")
#: with fifty seeds, more than twenty thousand cards
MIXES = 720
NEAR = 1.0 + 1e-6
seeds = st.integers(0, 10**6)


def _between(draw, low, high):
    """On a logarithmic scale, so that small and large ones come up alike."""
    return math.exp(math.log(low) + draw * math.log(high / low))


def _said(draw, low, high):
    """A limit that half of all labels name."""
    return None if draw < 0.5 else _between(2.0 * draw - 1.0, low, high)


def _product(draw, name):
    return Product(
        bottle=name,
        form=FORMS[int(draw[0] * len(FORMS))],
        unit="ml" if draw[1] < 0.5 else "g",
        amount=_between(draw[2], 1.0, 40.0),
        per="l" if draw[3] < 0.7 else "m2",
        most_per_m2=_said(draw[4], 0.3, 30.0),
        most_per_l=_said(draw[5], 3.0, 60.0),
        least_l_per_m2=_said(draw[6], 0.01, 0.15),
        most_l_per_m2=_said(draw[7], 0.12, 1.5),
        left=_said(draw[8], 20.0, 9000.0),
        container_l=_said(draw[9], 0.1, 25.0),
    )


def _mixes(seed, count=MIXES):
    draws = chance.uniforms(seed, "test/mixing", 0, count * 24).reshape(count, 24)
    for draw in draws:
        ground_m2 = _between(draw[20], 1.0, 100.0)
        job = Job(ground_m2, ground_m2 * _between(draw[21], 0.8, 9.0), _between(draw[22], 0.8, 20.0), QUIET)
        products = [_product(draw[:10], "one")]
        if draw[23] < 0.3:
            products.append(_product(draw[10:20], "two"))
        yield tuple(products), job


def _broken(card, products, job):
    """Every limit that a card breaks, counted anew from the card and the labels alone."""
    mixed_l = card.tankfuls * card.tankful_l
    leaf_l = job.leaf_area_m2 / 1000.0
    yield "tank", card.tankful_l > job.tank_l * NEAR
    yield "left over", mixed_l > 1.05 * card.volume.needed_l * NEAR
    yield "too little", mixed_l < 0.95 * card.volume.needed_l / NEAR
    yield "dry leaves", mixed_l < leaf_l * parameters()["leaf_ml_per_m2"].low / NEAR
    yield "cautions", not set(USUAL) <= set(card.cautions)
    yield "doses", sorted(each.bottle for each in card.doses) != sorted(each.bottle for each in products)
    for dose in card.doses:
        product = next(each for each in products if each.bottle == dose.bottle)
        yield "whole", abs(dose.whole - card.tankfuls * dose.per_tankful) > 1e-9 * max(dose.whole, 1.0)
        yield "too small", dose.per_tankful < 1.9
        yield "weaker than a misreading", not 0.95 / NEAR <= dose.rate_frac <= NEAR
        if product.per == "l":
            yield "stronger than the rate", dose.per_tankful > product.amount * card.tankful_l * NEAR
        else:
            yield "more on the ground than the rate", dose.whole > product.amount * job.ground_m2 * NEAR
        if product.most_per_l is not None:
            yield "stronger than the most", dose.per_tankful > product.most_per_l * card.tankful_l * NEAR
        if product.most_per_m2 is not None:
            yield "more on the ground than the most", dose.whole > product.most_per_m2 * job.ground_m2 * NEAR
        if product.least_l_per_m2 is not None:
            yield "less water than the label's", mixed_l < product.least_l_per_m2 * job.ground_m2 / NEAR
        if product.most_l_per_m2 is not None:
            yield "more water than the label's", mixed_l > product.most_l_per_m2 * job.ground_m2 * NEAR
        if product.left is not None:
            yield "more than the bottle holds", dose.whole > product.left * NEAR


@given(seed=seeds)
def test_no_card_breaks_a_limit_of_its_labels_its_tank_or_its_measure(seed):
    cards = 0
    for products, job in _mixes(seed):
        found = mix_card(products, job, HABITS, LIMITS)
        if isinstance(found, MixCard):
            cards += 1
            assert [name for name, broken in _broken(found, products, job) if broken] == [], (products, job)
        else:
            assert found.hindrances

    assert 0.5 * MIXES < cards < MIXES


@given(seed=seeds)
def test_what_is_refused_as_too_small_could_not_have_been_measured(seed):
    for products, job in _mixes(seed, count=60):
        found = mix_card(products, job, HABITS, LIMITS)
        for each in () if isinstance(found, MixCard) else found.hindrances:
            if each.kind == "too_small":
                assert each.details["amount"] < each.details["smallest"]


@given(
    rate=st.floats(0.05, 20.0),
    volume_gal=st.floats(0.1, 50.0),
    caught=st.floats(1.0, 500.0),
    plot=st.floats(10.0, 4000.0),
)
def test_american_and_metric_units_lead_to_the_same_mix(rate, volume_gal, caught, plot):
    american_ml = amounts.ml_of_fl_oz(amounts.product_fl_oz(volume_gal, rate))
    metric_ml = amounts.product_ml(amounts.l_of_gal(volume_gal), amounts.ounces_ml_per_l(rate))
    american = calibration.l_per_ha_of_gal_per_acre(calibration.caught_gal_per_acre(caught, plot))
    metric = calibration.caught_l_per_ha(amounts.ml_of_fl_oz(caught), plot * 0.3048**2)

    assert math.isclose(american_ml, metric_ml, rel_tol=1e-9)
    assert math.isclose(american, metric, rel_tol=1e-9)


def _air(seed, hours=30, members=4):
    def drawn(name, low, high, shape):
        return low + (high - low) * chance.uniforms(seed, f"test/{name}", 0, math.prod(shape)).reshape(shape)

    shape = (hours, members)
    return Air(
        temperature_c=drawn("temperature", 2.0, 34.0, (hours, 1)) + drawn("warmer", -1.0, 1.0, shape),
        relative_humidity_frac=np.clip(drawn("humidity", 0.3, 1.0, shape), 0.05, 1.0),
        wind_speed_m_s=drawn("wind", 0.5, 5.0, (hours, 1)) + drawn("gust", -0.4, 0.4, shape),
        rain_mm=np.maximum(drawn("rain", -6.0, 1.0, shape), 0.0),
        cloud_frac=drawn("cloud", 0.0, 1.0, shape),
        shortwave_w_m2=drawn("light", 0.0, 900.0, shape),
        wet_frac=np.maximum(drawn("wet", -1.0, 0.5, shape), 0.0),
        sun_elevation_deg=drawn("sun", -12.0, 60.0, (hours,)),
        pressure_kpa=float(drawn("pressure", 75.0, 102.0, (1,))[0]),
        at_work=chance.uniforms(seed, "test/work", 0, hours) < 0.9,
    )


def _is_fit(air, use, within, row, member):
    """One hour in one weather, judged anew with plain numbers."""
    here = {name: float(getattr(air, name)[row, member]) for name in closings.Air._fields[:7]}
    sun_deg, ahead = float(air.sun_elevation_deg[row]), math.ceil(within.rain_fast_h)
    hot = math.ceil(within.heat_reach_h) if math.isfinite(use.heat_stop_c) else 0
    if row + max(ahead, hot) > len(air.rain_mm) - 1:
        return False
    later_mm = sum(float(air.rain_mm[row + each, member]) for each in range(1, ahead + 1))
    later_c = [float(air.temperature_c[row + each, member]) for each in range(1, hot + 1)]
    warm = here["temperature_c"]
    delta = warm - float(vapour.wet_bulb_c(warm, here["relative_humidity_frac"], air.pressure_kpa))
    layered = sun_deg < within.layered_sun_deg and here["cloud_frac"] < within.layered_cloud_frac
    rules = [
        not use.closed_for_good,
        not (use.spares_flowers and use.flowers_open is not False),
        bool(air.at_work[row]),
        sun_deg >= within.light_sun_deg,
        here["rain_mm"] <= within.rain_most_mm,
        later_mm <= within.rain_most_mm,
        here["wet_frac"] <= within.wet_most_frac,
        within.wind_least_m_s <= here["wind_speed_m_s"] <= within.wind_most_m_s,
        not (layered and here["wind_speed_m_s"] < within.layered_wind_m_s),
        within.temperature_least_c <= warm <= min(within.temperature_most_c, use.heat_stop_c),
        all(each <= use.heat_stop_c for each in later_c),
        not (use.oil and here["shortwave_w_m2"] > within.sun_on_oil_w_m2),
        within.delta_t_least_k <= delta <= within.delta_t_most_k,
        not (use.bees_count and sun_deg > within.bees_sun_deg and warm > within.bees_least_c),
    ]
    return all(rules)


uses = st.builds(
    Use,
    heat_stop_c=st.sampled_from([math.inf, 27.0, 30.0]),
    oil=st.booleans(),
    spares_flowers=st.booleans(),
    flowers_open=st.sampled_from([None, True, False]),
    bees_count=st.booleans(),
    closed_for_good=st.sampled_from([(), (), (), ("water_too_near",)]),
)


@given(seed=seeds, use=uses, dry_h=st.sampled_from([0.0, 0.5, 2.0, 6.0]), enough=st.sampled_from([0.75, 1.0]))
def test_an_hour_is_open_exactly_when_every_limit_holds_in_enough_weathers(seed, use, dry_h, enough):
    within = LIMITS._replace(rain_fast_h=dry_h, fit_least_frac=enough)
    air = _air(seed)

    for hour in hours_ahead.hours_fit(air, within, use):
        fit = np.mean([_is_fit(air, use, within, hour.row, member) for member in range(4)])
        assert hour.fit_frac == fit
        assert hour.is_open == (fit >= enough)
        assert hour.is_open or hour.first
        assert {each.kind for each in hour.reasons} >= ({hour.first} - {""})


@given(seed=seeds, use=uses, needed_h=st.floats(0.1, 5.0))
def test_a_job_begun_at_the_best_hour_of_a_window_is_fit_to_its_end(seed, use, needed_h):
    within = LIMITS._replace(fit_least_frac=0.5, rain_fast_h=1.0)
    found = closings.closings(_air(seed, hours=60), within, use)
    long = max(1, math.ceil(needed_h))

    for each in hours_ahead.windows(found, within, needed_h=needed_h):
        whole = found.fit[each.best : each.best + long].all(axis=0).mean()
        assert each.start <= each.best
        assert each.best + long <= each.end
        assert whole == each.fit_frac >= 0.5
        assert (found.fit[each.start : each.end].mean(axis=1) >= 0.5).all()


@given(seed=seeds, use=uses, tighter=st.floats(0.5, 1.0))
def test_stricter_limits_never_open_an_hour(seed, use, tighter):
    strict = LIMITS._replace(
        wind_most_m_s=LIMITS.wind_most_m_s * tighter, temperature_most_c=LIMITS.temperature_most_c * tighter,
        rain_fast_h=LIMITS.rain_fast_h / tighter, delta_t_most_k=LIMITS.delta_t_most_k * tighter,
    )  # fmt: skip
    air = _air(seed)

    assert not (closings.closings(air, strict, use).fit & ~closings.closings(air, LIMITS, use).fit).any()
