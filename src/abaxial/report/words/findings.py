"""What we do not know of the weather: each with the one thing that would tell."""

from abaxial.report.words.dates import day_words
from abaxial.report.words.facts import Facts
from abaxial.report.words.quantities import counted, hours_words


def _forecast_ends(facts: Facts) -> str:
    until = facts.day("until")
    when = f" on {day_words(until)}" if until else ""
    return f"The forecast ends{when}; after that the days are drawn from what this place usually has."


def _no_forecast(_: Facts) -> str:
    return (
        "We have no forecast; the days ahead are drawn from what this place usually has. Fetching one would tell more."
    )


def _grid_weather(_: Facts) -> str:
    return (
        "The weather was fetched for the nearest grid cell, which does not know your walls and trees. "
        "A rain gauge, read each morning, would tell most."
    )


def _no_history(facts: Facts) -> str:
    days = facts.number("days")
    known = f"We have only {counted(days, 'day', 'days')} of past weather" if days else "We have no past weather"
    return f"{known}, so we do not know what older wet nights let in. The file of the last eight weeks would tell."


def _rain_unknown(facts: Facts) -> str:
    since, days = facts.day("since"), facts.number("days")
    when = f" since {day_words(since)}" if since else f" on {counted(days, 'day', 'days')}" if days else ""
    return (
        f"Nobody wrote down the rain{when}, and unknown is not dry. "
        "One line, such as “30 mm since Sunday” or “it rained last night”, would tell most of it."
    )


def _sensor_ceiling(facts: Facts) -> str:
    top = facts.number("ceiling_frac")
    at = f" and stops at {100 * top:.0f} %" if top is not None else ""
    return f"The humidity sensor never reaches 100 %{at}; we read its highest values as wet air."


def _unit_looks_wrong(facts: Facts) -> str:
    column, unit, likely = facts.text("column"), facts.text("unit"), facts.text("likely")
    what = f"The column “{column}”" if column else "One column"
    said = f" is headed {unit}" if unit else " has the wrong unit"
    seems = f", but its numbers look like {likely}" if likely else ", but its numbers do not fit that"
    return f"{what}{said}{seems}. Check the heading, then state the unit in the layout."


def _wetness_unknown(facts: Facts) -> str:
    days = facts.number("days")
    when = f" on {counted(days, 'night', 'nights')}" if days else ""
    return f"We do not know how wet the leaves were{when}. “Low leaves dripping at seven”, written down, would tell."


def _weather_unknown(facts: Facts) -> str:
    hours_h = facts.number("hours")
    many = hours_words(hours_h) if hours_h is not None else "some hours"
    return f"The weather of {many} is missing and was drawn from what this place usually has. A file of those days would tell."


def _nothing_known(_: Facts) -> str:
    return (
        "No weather has been read for this garden. A weather file, a thermometer and gauge notebook, or "
        "`abaxial weather fetch` would tell."
    )


def _too_little_known(facts: Facts) -> str:
    known, needed = facts.number("known_hours"), facts.number("needed_hours")
    have = (
        f"Only {hours_words(known)} of weather can be used" if known is not None else "Too little weather can be used"
    )
    need = f"; it takes {hours_words(needed)} to begin" if needed is not None else ""
    return f"{have}{need}. A weather file, a daily notebook, or `abaxial weather fetch` would tell more."


def _ceiling_corrected(facts: Facts) -> str:
    return _sensor_ceiling(facts)


def _record_stale(facts: Facts) -> str:
    until, days = facts.day("until"), facts.number("days")
    since = f" since {day_words(until)}" if until else " for a while"
    gap = f"; {counted(days, 'day', 'days')}" if days is not None else ""
    return (
        f"Nothing has been written down{since}{gap}. Those days are drawn from what this place usually has; "
        "the weather file brought up to date would tell."
    )


def _no_rust_known(facts: Facts) -> str:
    who, host = facts.text("planting") or "One planting", facts.text("host")
    kind = f" ({host})" if host else ""
    return f"We know no rust for {who}{kind}, so its dates are left out. A rust file beside the garden would tell."


def _noted_disagrees(facts: Facts) -> str:
    state, at, bed = facts.text("state") or "otherwise", facts.text("at"), facts.text("bed")
    when = f" on {at}" if at else ""
    where = f" in {bed}" if bed else ""
    return (
        f"You found the leaves {state}{when}{where}; by the weather we have they should not have been. "
        "One of the two is off, so this note changed nothing. Another look at seven in the morning would tell."
    )


def _first_line(facts: Facts) -> str:
    at = facts.day("at")
    when = f"{at.isoformat()} 07:00" if at else "YYYY-MM-DD 07:00"
    return (
        f'In the garden file, the three lines [[noted]], rain = "last night", at = "{when}" are enough to begin with; '
        "so is `abaxial weather fetch` where there is a network."
    )


def _invented_weather(_: Facts) -> str:
    return "This weather is invented. It is good for learning how to read the page and for nothing else."


FINDINGS = {
    "forecast_ends": _forecast_ends,
    "no_forecast": _no_forecast,
    "grid_weather": _grid_weather,
    "no_history": _no_history,
    "rain_unknown": _rain_unknown,
    "weather_unknown": _weather_unknown,
    "wetness_unknown": _wetness_unknown,
    "nothing_known": _nothing_known,
    "too_little_known": _too_little_known,
    "sensor_ceiling": _sensor_ceiling,
    "ceiling_corrected": _ceiling_corrected,
    "unit_looks_wrong": _unit_looks_wrong,
    "record_stale": _record_stale,
    "no_rust_known": _no_rust_known,
    "noted_disagrees": _noted_disagrees,
    "first_line": _first_line,
    "invented_weather": _invented_weather,
}
