"""The leaf line in plain text: one sign a day, three rows, for a terminal."""

from datetime import date, timedelta

from abaxial.report.answers.week import PlantingWeek
from abaxial.report.figures.leaf_line import hidden_infections
from abaxial.report.words.dates import short_day

_PAST_D, _AHEAD_D = 28, 21
_WET_H, _SOAKED_H = 6.0, 12.0


def leaf_strip(planting: PlantingWeek, today: date) -> str:
    """Wet nights, what may have got in, and when it would show, a sign for each day around today."""
    days = [today + timedelta(days=offset) for offset in range(-_PAST_D, _AHEAD_D + 1)]
    wet = {night.day: night.wet_h_lower.mid for night in planting.nights}
    got_in = {each.night: each.chance_frac for each in planting.infections}
    pending = hidden_infections(planting)
    wets = "".join(
        "¦" if wet.get(day, 0.0) >= _SOAKED_H else "'" if wet.get(day, 0.0) >= _WET_H else "·" for day in days
    )
    inside = "".join(
        "o" if got_in.get(day, 0.0) >= 0.33 else "." if got_in.get(day, 0.0) >= 0.1 else " " for day in days
    )
    shows = "".join(
        "#"
        if any(each.showing.mid == day for each in pending)
        else "~"
        if any(each.showing.low <= day <= each.showing.high for each in pending)
        else " "
        for day in days
    )
    dates = _dates_row(days, today)
    return "\n".join(
        f"{head:<13}{row}".rstrip()
        for head, row in (
            ("", dates),
            ("wet leaves", wets),
            ("may be in", inside),
            ("would show", shows),
            ("", "' 6 h wet   ¦ 12 h wet   o got in, if spores were about   ~ # shows"),
        )
    )


def _dates_row(days: list[date], today: date) -> str:
    row = [" "] * (len(days) + 8)
    for index, day in enumerate(days):
        if (day - today).days % 7 == 0:
            name = "today" if day == today else short_day(day)
            row[index : index + len(name)] = name
    return "".join(row).rstrip()
