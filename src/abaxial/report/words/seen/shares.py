"""Shares of leaves and of leaf area in per cent, rounded to what is known of them."""

from abaxial.report.answers.week import Band
from abaxial.report.words.likelihood import round_half_up

#: below this share [%] nothing smaller is told apart
_LEAST_PERCENT = 0.1
#: a band wider than this [%] is told to the nearest five
_ROUGH_PERCENT = 15.0


def about_percent(band: Band, of: str = "") -> str:
    """A share with its doubt in a sentence: "about 2 % of the leaf area (between 1 and 5)". of : what it is a share of."""
    low, mid, high = rounded(band)
    whole = f" {of}" if of else ""
    if mid == "0":
        return f"next to nothing{whole}{f' (at most {high} %)' if high != '0' else ''}"
    return f"about {mid} %{whole}{f' (between {low} and {high})' if low != high else ''}"


def percent_short(band: Band) -> str:
    """The middle of a share alone: "2 %", "under 0.1 %"."""
    mid = rounded(band)[1]
    return f"under {_LEAST_PERCENT:g} %" if mid == "0" else f"{mid} %"


def percent_cell(band: Band) -> str:
    """A share with its doubt for a table: "2 % (1 to 5)"."""
    low, mid, high = rounded(band)
    return f"{mid} %" if low == high else f"{mid} % ({low} to {high})"


def at_most_percent(band: Band) -> str:
    """The upper end of a share: "5 %"."""
    high = rounded(band)[2]
    return f"{_LEAST_PERCENT:g} %" if high == "0" else f"{high} %"


def plain_percent(share_frac: float) -> str:
    """One share without doubt: "7 %"."""
    return percent_short(Band(share_frac, share_frac, share_frac))


def times_words(times: float) -> str:
    """How many times as much: "half as much", "about as much", "about 3 times as much"."""
    if times < 0.35:
        return "less than half as much"
    if times < 0.75:
        return "about half as much"
    if times < 1.5:
        return "about as much"
    return "about twice as much" if times < 2.5 else f"about {round_half_up(times)} times as much"


def rarely_words(chance_frac: float) -> str:
    """A small chance as one in so many: "about 1 time in 50"."""
    if chance_frac < 0.001:
        return "less than 1 time in 1000"
    many = 1.0 / chance_frac
    step = 100 if many >= 200 else 10 if many >= 20 else 1
    return f"about 1 time in {step * round_half_up(many / step)}"


def rounded(band: Band) -> tuple[str, str, str]:
    """Low, middle and high in per cent, each to as many figures as are known; they never change their order."""
    rough = 100 * (band.high - band.low) > _ROUGH_PERCENT
    low, mid, high = (_told(100 * each, rough=rough) for each in (band.low, band.mid, band.high))
    return low, mid, high


def _told(percent: float, *, rough: bool) -> str:
    if percent < _LEAST_PERCENT:
        return "0"
    if percent < 0.95:
        return f"{percent:.1f}"
    if percent < 10 or not rough:
        return f"{99 if 99 <= percent < 100 else round_half_up(percent)}"
    # a doubtful share is never rounded to all
    return f"{min(5 * round_half_up(percent / 5), 100 if percent >= 100 else 95)}"
