"""The leaf line in plain text: one sign a day, a row for each kind of mark, for a terminal."""

from collections.abc import Sequence
from datetime import date, timedelta

from abaxial.report.answers.week import Estimate, PlantingWeek, RemedyMark
from abaxial.report.figures.leaf_line import hidden_infections
from abaxial.report.words.dates import short_day

_PAST_D, _AHEAD_D = 28, 21
_WET_H, _SOAKED_H = 6.0, 12.0
_EIGHTHS, _LEAST_FRAC = "▁▂▃▄▅▆▇█", 0.0005


def leaf_strip(planting: PlantingWeek, today: date) -> str:
    """What shows and when somebody looked, wet nights, what may have got in, and when it would show: a sign for each day
    around today."""
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
    estimate = planting.estimate
    above = [("shows", _shows_row(estimate, days))] if estimate else []
    done = [("done", _done_row(planting.remedies, days))] if planting.remedies else []
    done_key = [("", "x leaves off   = rust kept out   X reaches what is in the leaf")] if planting.remedies else []
    key = [("", "▁▄█ how much shows, against the most here   O somebody looked")] if estimate else []
    return "\n".join(
        f"{head:<13}{row}".rstrip()
        for head, row in (
            ("", _dates_row(days, today)),
            *above,
            *done,
            ("wet leaves", wets),
            ("may be in", inside),
            ("would show", shows),
            ("", "' 6 h wet   ¦ 12 h wet   o got in, if spores were about   ~ # shows"),
            *key,
            *done_key,
        )
    )


def _done_row(remedies: Sequence[RemedyMark], days: list[date]) -> str:
    """What was done, on its day, and the days on which it keeps rust out."""
    signs: dict[date, str] = {}
    for each in remedies:
        for day in days:
            if each.until is not None and each.on <= day <= each.until:
                signs.setdefault(day, "=")
    signs |= {each.on: "X" for each in remedies if each.cures}
    signs |= {each.on: "x" for each in remedies if not each.cures and each.until is None}
    return "".join(signs.get(day, " ") for day in days)


def _shows_row(estimate: Estimate, days: list[date]) -> str:
    """Eighths of the most that is reckoned to show on any day of the row; a ring where somebody looked."""
    shows = {each.day: each.showing_frac.mid for each in estimate.days}
    looked = {each.on for each in estimate.looks}
    most = max((shows.get(day, 0.0) for day in days), default=0.0)
    return "".join("O" if day in looked else _eighths(shows.get(day, 0.0), most) for day in days)


def _eighths(share_frac: float, most_frac: float) -> str:
    if share_frac < _LEAST_FRAC:
        return " "
    return _EIGHTHS[min(int(8 * share_frac / most_frac), 7)]


def _dates_row(days: list[date], today: date) -> str:
    row = [" "] * (len(days) + 8)
    for index, day in enumerate(days):
        if (day - today).days % 7 == 0:
            name = "today" if day == today else short_day(day)
            row[index : index + len(name)] = name
    return "".join(row).rstrip()
