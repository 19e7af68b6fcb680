"""What was noticed while reading the weather, and what was done about it."""

from abaxial.report.words.dates import month_words
from abaxial.report.words.facts import Facts
from abaxial.report.words.quantities import counted, height_words, hours_words, warmth_words, water_words

_VARIABLES = {
    "temperature_c": "air temperature",
    "relative_humidity_frac": "humidity",
    "wind_speed_m_s": "wind",
    "rain_mm": "rain",
    "shortwave_w_m2": "sunshine",
    "cloud_frac": "cloud",
}
_CHECKS = {
    "range": "outside what is possible here",
    "step": "jump further than weather does",
    "stuck": "stay the same for too long",
    "cross": "contradict another reading",
}


def plain_variable(name: str) -> str:
    """A weather variable in plain words: "relative_humidity_frac" is "humidity"."""
    return _VARIABLES.get(name, name.replace("_", " "))


def _suspect_values(facts: Facts) -> str:
    why = _CHECKS.get(facts.text("check") or "", "cannot be right")
    why = f"lie {why}" if why.startswith("outside") else why
    return f"{_count(facts)} of {_variable(facts)} {why}; they were set aside, not deleted."


def _impossible_value(facts: Facts) -> str:
    first = facts.text("first")
    where = f" The first: {first}." if first else ""
    return f"{_count(facts)} of {_variable(facts)} cannot be and were set aside.{where}"


def _gaps_filled(facts: Facts) -> str:
    filled, left = facts.number("filled_h"), facts.number("left_h")
    many = hours_words(filled) if filled is not None else "some hours"
    more = f"; {hours_words(left)} are still missing" if left else ""
    return f"{many[0].upper()}{many[1:]} of {_variable(facts)} were missing and filled from the hours around{more}."


def _sky_derived(facts: Facts) -> str:
    derived = facts.number("derived_h")
    many = f" for {hours_words(derived)}" if derived is not None else ""
    basis = (
        "sunlight or the day’s range of temperature"
        if facts.text("variable") == "cloud_frac"
        else "cloud or the day’s range of temperature"
    )
    return f"{_variable(facts)[0].upper()}{_variable(facts)[1:]} was worked out{many} from {basis}."


def _doubled_rows(facts: Facts) -> str:
    same, differ = facts.number("identical") or 0, facts.number("different") or 0
    unlike = f", {differ:.0f} of them with other values" if differ else ""
    return f"{counted(same + differ, 'row', 'rows')} came twice{unlike}; one of each was kept."


def _typical_year(facts: Facts) -> str:
    first, last, put = facts.number("first_year"), facts.number("last_year"), facts.number("put_on")
    span = f" put together from {first:.0f} to {last:.0f}" if first and last else ""
    on = f" and laid on {put:.0f}" if put else ""
    return f"This is a typical year{span}{on}: good for learning the place, not for this week."


def _repeated_hour_once(_: Facts) -> str:
    return "The hour that comes twice when clocks go back stands only once in the file; we took it as the first."


def _time_goes_back(facts: Facts) -> str:
    at = facts.text("at")
    return f"Time goes back in the file{f' at {at}' if at else ''}; we sorted the rows. Check the clock there."


def _two_clocks(facts: Facts) -> str:
    near, shift = facts.text("near"), facts.number("shift_h")
    by = f" by {hours_words(shift)}" if shift else ""
    return f"The station’s clock seems to change{by}{f' near {near}' if near else ''}. State both clocks in the layout."


def _clock_shift(facts: Facts) -> str:
    late = facts.number("late_h")
    side = "behind" if late is not None and late > 0 else "ahead of"
    by = f"about {hours_words(late)} " if late is not None else ""
    return f"The sunshine in the file runs {by}{side} the sun itself. Check the clock or the place."


def _gauge_silent(facts: Facts) -> str:
    month, seen = facts.number("month"), facts.number("rain_hours_seen")
    when = f" in {month_words(int(month))}" if month else ""
    saw = f"in {hours_words(seen)}" if seen else "for hours"
    return f"Observers saw rain {saw}{when} and the gauge shows none; we take that rain as unknown, not as dry."


def _rain_not_recorded(_: Facts) -> str:
    return "The file holds a column for rain and not a drop in it; we take rain as unknown, not as dry. A gauge would tell."


def _rain_unit(facts: Facts) -> str:
    said, looks, year = facts.text("declared"), facts.text("looks_like"), facts.number("a_year_mm")
    would = f" (read so, a year would bring {water_words(year, facts.units)})" if year is not None else ""
    like = f"looks like {looks}" if looks else "does not fit"
    return f"The rain is headed {said or 'mm'} but {like}{would}. It was set aside: state its unit and it counts again."


def _grid_height(facts: Facts) -> str:
    above, added = facts.number("above_grid_m"), facts.number("added_k")
    high = f"{height_words(abs(above), facts.units)} {'above' if above > 0 else 'below'}" if above else "away from"
    warm = (
        f"; we made it {warmth_words(abs(added), facts.units)} {'cooler' if added < 0 else 'warmer'}" if added else ""
    )
    return f"Your garden lies {high} the ground the fetched weather is for{warm}."


def _grid_height_unknown(_: Facts) -> str:
    return "The fetched weather does not say how high its ground lies; warmth may be off by a degree or two."


def _station_far(facts: Facts) -> str:
    away = facts.number("away_km")
    far = f"{height_words(1000 * away, facts.units)} away" if away is not None else "far away"
    return f"The station is {far} or at another height. Your own gauge and thermometer would tell more."


def _humidity_against_dew_point(facts: Facts) -> str:
    return f"{_count(facts)} of humidity contradict the dew point beside them and were set aside."


def _humidity_above_saturation(facts: Facts) -> str:
    return f"{_count(facts)} of humidity lie a little above 100 %; we read them as 100 %."


def _coarse_steps(facts: Facts) -> str:
    step = facts.number("step_h")
    every = f"every {hours_words(step)}" if step else "less than hourly"
    return f"The file speaks {every}; what lies between is filled, so short wet spells may be missed."


def _notebook(facts: Facts) -> str:
    days = facts.number("days")
    many = counted(days, "day", "days") if days is not None else "your days"
    return f"{many[0].upper()}{many[1:]} of your notebook were made into hours by rule; the hours are a guess, the days are yours."


def _variable(facts: Facts) -> str:
    return plain_variable(facts.text("variable") or "weather")


def _count(facts: Facts) -> str:
    many = facts.number("count")
    return counted(many, "value", "values") if many is not None else "Some values"


READINGS = {
    "suspect_values": _suspect_values,
    "impossible_value": _impossible_value,
    "gaps_filled": _gaps_filled,
    "sky_derived": _sky_derived,
    "doubled_rows": _doubled_rows,
    "typical_year": _typical_year,
    "repeated_hour_once": _repeated_hour_once,
    "time_goes_back": _time_goes_back,
    "two_clocks": _two_clocks,
    "clock_shift": _clock_shift,
    "gauge_silent": _gauge_silent,
    "rain_not_recorded": _rain_not_recorded,
    "rain_unit": _rain_unit,
    "grid_height": _grid_height,
    "grid_height_unknown": _grid_height_unknown,
    "station_far": _station_far,
    "humidity_against_dew_point": _humidity_against_dew_point,
    "humidity_above_saturation": _humidity_above_saturation,
    "coarse_steps": _coarse_steps,
    "notebook": _notebook,
}
