"""Amounts as people say them, rounded to what is known, in metric or US units."""

from math import floor
from typing import Literal

from abaxial.report.answers.week import Band
from abaxial.report.words.likelihood import round_half_up

Units = Literal["metric", "us"]

_FL_OZ_ML, _TBSP_ML, _TSP_ML = 29.5735295625, 14.78676478125, 4.92892159375
_OZ_G, _GAL_L, _FT2_M2 = 28.349523125, 3.785411784, 0.09290304
#: below this a US gallon is told in ounces
_LEAST_GAL = 0.5
_QUARTERS = {0.0: "", 0.25: "¼", 0.5: "½", 0.75: "¾"}
#: amounts worked out in floating point may miss a graduation by this share
_ROUNDING = 1e-9


def temperature_words(temperature_c: float, units: Units) -> str:
    """A temperature to the degree."""
    if units == "us":
        return f"{round_half_up(temperature_c * 1.8 + 32)} °F"
    return f"{round_half_up(temperature_c)} °C"


def warmth_words(difference_k: float, units: Units) -> str:
    """A difference of temperature to the degree, to the tenth below two."""
    shown, unit = (difference_k * 1.8, "°F") if units == "us" else (difference_k, "°C")
    return f"{shown:.1f} {unit}" if shown < 2 else f"{shown:.0f} {unit}"


def water_words(depth_mm: float, units: Units) -> str:
    """A depth of water: whole millimetres, tenths below two; hundredths of an inch."""
    if units == "us":
        return f"{depth_mm / 25.4:.2f} in"
    return f"{depth_mm:.1f} mm" if 0 < depth_mm < 2 else f"{depth_mm:.0f} mm"


def length_words(length_m: float, units: Units) -> str:
    """A distance in the garden: centimetres below two metres, whole inches below six feet."""
    if units == "us":
        return f"{length_m / 0.0254:.0f} in" if length_m < 1.83 else f"{length_m / 0.3048:.0f} ft"
    return f"{length_m * 100:.0f} cm" if length_m < 2 else f"{length_m:.0f} m"


def height_words(length_m: float, units: Units) -> str:
    """A height or a distance over land: whole metres or feet, kilometres or miles from two kilometres on."""
    if length_m >= 2000:
        return f"{length_m / 1609.34:.0f} miles" if units == "us" else f"{length_m / 1000:.0f} km"
    return f"{length_m / 0.3048:.0f} ft" if units == "us" else f"{length_m:.0f} m"


def wind_words(speed_m_s: float, units: Units) -> str:
    """A wind speed to the tenth."""
    return f"{speed_m_s * 2.23694:.1f} mph" if units == "us" else f"{speed_m_s:.1f} m/s"


def hours_words(hours_h: float) -> str:
    """A span of time to the hour."""
    whole = round_half_up(abs(hours_h))
    if whole == 0:
        return "less than an hour"
    return "1 hour" if whole == 1 else f"{whole} hours"


def counted(number: float, one: str, many: str) -> str:
    """A count with its noun: "1 night", "3 nights"."""
    whole = round_half_up(number)
    return f"{whole} {one if whole == 1 else many}"


def share_words(share_frac: float) -> str:
    """A share of something, in tenths: "about 3 in 10"."""
    if share_frac < 0.05:
        return "hardly any"
    return "nearly all" if share_frac >= 0.95 else f"about {round_half_up(10 * share_frac)} in 10"


def nights_amount(nights: float) -> str:
    """An amount of what got in, in whole nights' worth, to the tenth below ten."""
    if abs(nights) < 0.05:
        return "0"
    return f"{nights:.1f}" if nights < 10 else f"{nights:.0f}"


def hours_band(band: Band) -> str:
    """Hours with their doubt for a table: "38 (31–46)"."""
    low, mid, high = (round_half_up(each) for each in (band.low, band.mid, band.high))
    return f"{mid}" if low == high else f"{mid} ({low}–{high})"


def amount_band(band: Band) -> str:
    """Nights' worth with their doubt for a table: "1.4 (0.6–2.3)"."""
    low, mid, high = (nights_amount(each) for each in (band.low, band.mid, band.high))
    return mid if low == high else f"{mid} ({low}–{high})"


def percent_band(band: Band) -> str:
    """A share with its doubt for a table, in whole per cent: "41 % (28–55)"."""
    low, mid, high = (f"{100 * each:.0f}".replace("-", "−") for each in (band.low, band.mid, band.high))
    mid, low, high = (each.replace("−0", "0") if each == "−0" else each for each in (mid, low, high))
    return f"{mid} %" if low == high else f"{mid} % ({low} to {high})"


def listed(names: tuple[str, ...], most: int = 3) -> str:
    """Names in a sentence: "A, B and C"; beyond `most` the rest are counted."""
    if len(names) > most:
        return f"{', '.join(names[: most - 1])} and {len(names) - most + 1} more"
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}" if names else ""


def product_words(amount: float, unit: str, units: Units) -> str:
    """An amount of product, down to what can be measured: "7.5 ml"; "0.25 fl oz (1 ½ tsp, 7.5 ml)".

    unit : "ml" or "g".
    """
    metric = f"{_down(amount, 0.1 if amount < 100 else 1.0):g} {unit}"
    if units == "metric":
        return metric
    if unit == "g":
        return f"{_down(amount / _OZ_G, 0.01):g} oz ({metric})"
    spoons = _spoons(amount)
    return f"{_down(amount / _FL_OZ_ML, 0.01):g} fl oz ({f'{spoons}, ' if spoons else ''}{metric})"


def volume_words(volume_l: float, units: Units) -> str:
    """An amount of water or spray, to what a jug shows: "1.5 l"; "0.79 gal"; "34 fl oz"."""
    if units == "metric":
        return f"{volume_l:.2f}".rstrip("0").rstrip(".") + " l" if volume_l >= 0.1 else f"{1000 * volume_l:.0f} ml"
    gallons = volume_l / _GAL_L
    return f"{gallons:.2f} gal" if gallons >= _LEAST_GAL else f"{1000 * volume_l / _FL_OZ_ML:.0f} fl oz"


def area_words(area_m2: float, units: Units) -> str:
    """An area of ground or leaf: "4.5 m²"; "48 ft²"."""
    shown, unit = (area_m2 / _FT2_M2, "ft²") if units == "us" else (area_m2, "m²")
    return f"{shown:.1f}".removesuffix(".0") + f" {unit}" if shown < 10 else f"{shown:.0f} {unit}"


def money_words(amount: float) -> str:
    """An amount of the person's own money, to two figures: "4.2"; "130"."""
    size = abs(amount)
    told = f"{amount:.1f}" if size < 10 else f"{amount:.0f}" if size < 100 else f"{10 * round(amount / 10)}"
    return "0" if float(told) == 0 else told.replace("-", "−")


def money_band(band: Band) -> str:
    """The same with its doubt: "4.2 (−1.0 to 9.1)"."""
    low, mid, high = (money_words(each) for each in (band.low, band.mid, band.high))
    return mid if low == high else f"{mid} ({low} to {high})"


def _spoons(amount_ml: float) -> str:
    """Tablespoons, or teaspoons below one, down to a quarter; "" beyond four tablespoons."""
    if amount_ml > 4.0 * _TBSP_ML:
        return ""
    size_ml, name = (_TBSP_ML, "tbsp") if amount_ml >= _TBSP_ML * (1.0 - _ROUNDING) else (_TSP_ML, "tsp")
    quarters = _down(amount_ml / size_ml, 0.25)
    whole = floor(quarters)
    told = " ".join(part for part in (str(whole) if whole else "", _QUARTERS[quarters - whole]) if part)
    return f"{told} {name}" if told else ""


def _down(amount: float, step: float) -> float:
    return round(floor(amount / step * (1.0 + _ROUNDING)) * step, 6)
