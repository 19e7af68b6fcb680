"""Why: what made the leaf wet, what slowed or sped the rust, and how far the numbers can be trusted."""

from abaxial.report.words.dates import day_words
from abaxial.report.words.facts import Facts
from abaxial.report.words.quantities import (
    counted,
    hours_words,
    length_words,
    listed,
    share_words,
    temperature_words,
    water_words,
    wind_words,
)


def _wet_night(facts: Facts) -> str:
    night, wet_h, warm = facts.day("night"), facts.number("wet_h"), facts.number("temperature_c")
    rain, share = facts.number("rain_mm"), facts.number("frac")
    when = f"The night of {day_words(night)}" if night else "One night"
    kept = f" kept the low leaves wet for {hours_words(wet_h)}" if wet_h is not None else " kept the low leaves wet"
    at = f" at about {temperature_words(warm, facts.units)}" if warm is not None else ""
    fell = f", with {water_words(rain, facts.units)} of rain" if rain is not None and rain >= 0.2 else ""
    got_in = f". If spores were about, {share_words(share)} of those on the leaf got in" if share is not None else ""
    return f"{when}{kept}{at}{fell}{got_in}."


def _shade_keeps_wet(facts: Facts) -> str:
    return f"Shade keeps the morning sun off the leaves{_longer(facts)}."


def _low_wind(facts: Facts) -> str:
    wind = facts.number("wind_m_s")
    calm = f" (about {wind_words(wind, facts.units)} among the leaves)" if wind is not None else ""
    return f"The air between the leaves hardly moves{calm}{_longer(facts)}."


def _crowded(facts: Facts) -> str:
    spacing = facts.number("spacing_m")
    apart = f", {length_words(spacing, facts.units)} apart" if spacing is not None else ""
    return f"The plants stand close{apart}{_longer(facts)}."


def _low_leaves(facts: Facts) -> str:
    return f"The leaves near the ground dry last{_longer(facts)}."


def _overhead_watering(facts: Facts) -> str:
    hour = facts.number("local_hour")
    when = f" at {int(hour):02d}:00" if hour is not None else ""
    return f"Watering over the leaves{when} wets them when they could be dry{_longer(facts)}."


def _rain(facts: Facts) -> str:
    rain, days = facts.number("rain_mm"), facts.number("days")
    amount = f"{water_words(rain, facts.units)} of rain fell" if rain is not None else "Rain fell"
    span = f" in {counted(days, 'day', 'days')}" if days else ""
    return f"{amount}{span}."


def _dew(facts: Facts) -> str:
    nights, days = facts.number("nights"), facts.number("days")
    count = counted(nights, "night", "nights") if nights is not None else "several nights"
    last = f" of the last {days:.0f}" if days else ""
    return f"Dew alone wetted the leaves on {count}{last}."


def _cool_slows(facts: Facts) -> str:
    warm = facts.number("temperature_c")
    at = f" (about {temperature_words(warm, facts.units)})" if warm is not None else ""
    return f"Cool days{at} slow what is inside the leaf; it waits, it does not go away."


def _warm_speeds(facts: Facts) -> str:
    warm = facts.number("temperature_c")
    at = f" (about {temperature_words(warm, facts.units)})" if warm is not None else ""
    return f"Mild, even days{at} bring what is inside the leaf up quickly."


def _latent_hidden(facts: Facts) -> str:
    nights = facts.number("nights")
    amount = f"the worth of {nights:.1f} full nights" if nights is not None else "something"
    return f"If spores were about, {amount} is already in the leaf and does not show yet."


def _soil_dry(facts: Facts) -> str:
    share, days = facts.number("available_frac"), facts.number("dry_in_days")
    left = f": {share_words(share)} of the water the soil can hold is left" if share is not None else ""
    soon = f", enough for {counted(days, 'day', 'days')}" if days else ""
    return f"The soil is drying{left}{soon}."


def _soil_wet(facts: Facts) -> str:
    share = facts.number("available_frac")
    held = f" (it holds {share_words(share)} of what it can)" if share is not None else ""
    return f"The soil is wet enough{held}; watering now would only wet the air and the leaves."


def _rust_note(facts: Facts) -> str:
    rust, text = facts.text("rust"), facts.text("text") or "Something is to be known of this rust."
    return f"About {rust}: {text[:1].lower()}{text[1:]}" if rust else text


def _borrowed_parameters(facts: Facts) -> str:
    # the plain name goes before the comma, the botanist's after it
    plain = tuple(name.split(",")[0].strip() for name in facts.names("from"))
    rust, lent = facts.text("rust") or "this rust", listed(plain) or "related rusts"
    return (
        f"Almost nothing has been measured for {rust}. Its numbers are borrowed from {lent}, so read every date "
        "here as a guide; what you find on your own leaves will tell more."
    )


def _longer(facts: Facts) -> str:
    extra = facts.number("extra_h")
    if extra is None or extra < 0.5:
        return ""
    return f": {hours_words(extra)} a week more with wet leaves"


def _gain(facts: Facts) -> str:
    who, gain = facts.text("planting") or "these plants", facts.number("gain_frac")
    kept = f"{share_words(gain)} of what" if gain is not None else "part of what"
    return f"For {who}, over the last weeks, it would have kept out {kept} got in, if spores were about."


REASONS = {
    "gain": _gain,
    "wet_night": _wet_night,
    "shade_keeps_wet": _shade_keeps_wet,
    "low_wind": _low_wind,
    "crowded": _crowded,
    "low_leaves": _low_leaves,
    "overhead_watering": _overhead_watering,
    "rain": _rain,
    "dew": _dew,
    "cool_slows": _cool_slows,
    "warm_speeds": _warm_speeds,
    "latent_hidden": _latent_hidden,
    "soil_dry": _soil_dry,
    "soil_wet": _soil_wet,
    "borrowed_parameters": _borrowed_parameters,
    "rust_note": _rust_note,
}
