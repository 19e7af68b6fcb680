"""Dates as people say them, to the day: "Thursday 26 November", "26 to 29 November"."""

from datetime import date, datetime

from abaxial.report.answers.week import DateBand

MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
_WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


def day_words(day: date) -> str:
    """A date in a sentence: "26 November"."""
    return f"{day.day} {MONTHS[day.month - 1]}"


def month_words(month: int) -> str:
    """The name of a month, 1 to 12."""
    return MONTHS[month - 1]


def weekday_words(day: date) -> str:
    """A date to act on: "Thursday 26 November"."""
    return f"{_WEEKDAYS[day.weekday()]} {day_words(day)}"


def short_day(day: date) -> str:
    """A date in a table or a figure: "26 Nov"."""
    return f"{day.day} {MONTHS[day.month - 1][:3]}"


def short_weekday(day: date) -> str:
    """A date in a table, with its weekday: "Thu 26 Nov"."""
    return f"{_WEEKDAYS[day.weekday()][:3]} {short_day(day)}"


def full_date(day: date) -> str:
    """A date with its year: "Wednesday 25 November 2026"."""
    return f"{weekday_words(day)} {day.year}"


def span_words(first: date, last: date) -> str:
    """Two dates in a sentence: "26 to 29 November"; one if they are the same."""
    if first >= last:
        return day_words(first)
    if (first.month, first.year) == (last.month, last.year):
        return f"{first.day} to {day_words(last)}"
    return f"{day_words(first)} to {day_words(last)}"


def short_span(first: date, last: date) -> str:
    """Two dates in a table: "26–29 Nov"; one if they are the same."""
    if first >= last:
        return short_day(first)
    if (first.month, first.year) == (last.month, last.year):
        return f"{first.day}–{short_day(last)}"
    return f"{short_day(first)} – {short_day(last)}"


def band_words(band: DateBand) -> str:
    """A date with its doubt in a sentence."""
    if band.open_ended:
        return f"from {day_words(band.low)} on, most likely about {day_words(band.mid)}"
    if band.low == band.high:
        return f"on {day_words(band.mid)}"
    return f"from {span_words(band.low, band.high)}, most likely about {day_words(band.mid)}"


def short_band(band: DateBand) -> str:
    """A date with its doubt in a table: "26 Nov – 3 Dec"."""
    return f"from {short_day(band.low)}" if band.open_ended else short_span(band.low, band.high)


def moment_words(moment: str) -> str:
    """A moment in a sentence, from its text such as "2026-11-25 06:00": "25 November 06:00". Other text stays as it is."""
    try:
        at = datetime.fromisoformat(moment)
    except ValueError:
        return moment
    return f"{day_words(at.date())} {at:%H:%M}"


def days_listed(days: tuple[date, ...], today: date) -> str:
    """The days to do something: "today and Sunday 29 November"."""
    return " and ".join("today" if day == today else weekday_words(day) for day in days)
