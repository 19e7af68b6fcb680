"""Readers: a weather file, in whatever form, becomes one hourly series in the house's units, height and clock."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from abaxial.errors import WeatherError
from abaxial.place import Place
from abaxial.weather.notebook import read_notebook
from abaxial.weather.readers.delimited import read_delimited
from abaxial.weather.readers.epw import epw_place, read_epw
from abaxial.weather.readers.forecast_json import parse_forecast
from abaxial.weather.readers.layout import Column, Layout, decode, layout_from, read_bytes
from abaxial.weather.readers.propose import Proposal, propose_layout
from abaxial.weather.readers.tmy3 import read_tmy3, tmy3_place
from abaxial.weather.series import Weather

__all__ = [
    "FORMS",
    "Column",
    "Layout",
    "Proposal",
    "epw_place",
    "layout_from",
    "parse_forecast",
    "propose_layout",
    "read",
    "read_all",
    "read_delimited",
    "read_epw",
    "read_tmy3",
    "tmy3_place",
]

#: the forms of file we read, to the options each takes beside `form` and `file`
FORMS: Mapping[str, tuple[str, ...]] = {
    "delimited": tuple(Layout.__dataclass_fields__),
    "epw": ("year", "wind_height_m"),
    "tmy3": ("year", "wind_height_m", "rain_unit"),
    "forecast_json": (),
    "notebook": ("read_at",),
}


def read(source: Mapping[str, Any], folder: Path, place: Place, *, now_hour: int | None = None) -> Weather:
    """The series in one declared weather file; of a forecast, the control. See `read_all`."""
    return read_all(source, folder, place, now_hour=now_hour)[0]


def read_all(source: Mapping[str, Any], folder: Path, place: Place, *, now_hour: int | None = None) -> list[Weather]:
    """The series in one declared weather file: one, or each member of a forecast, the control first.

    source : options `form` and `file`, and those of the form. folder : where a relative file name begins.
    place : the garden. now_hour : first hour not yet lived; needed for the answer of a forecast service. Raises WeatherError if the form or an option is unknown, or as the reader of the form does.
    """
    form, name = str(source.get("form", "")), source.get("file")
    if form not in FORMS:
        raise WeatherError(
            f"A weather file is of form {form!r}, which is not read.", remedy=f"The forms are {', '.join(FORMS)}."
        )
    if not isinstance(name, str) or not name:
        raise WeatherError(f"A weather file of form {form!r} has no name.", remedy='Write file = "…".')
    path = folder / name
    options = {key: value for key, value in source.items() if key not in {"form", "file"}}
    if form == "delimited":
        return [read_delimited(path, layout_from(source, where=name), place)]
    if form == "notebook":
        return [read_notebook(path, place, options)]
    _known(form, options, name)
    if form == "epw":
        return [read_epw(path, place, **options)]
    if form == "tmy3":
        return [read_tmy3(path, place, **options)]
    if now_hour is None:
        raise WeatherError(f"{path}: a forecast is read only at a given now.", remedy="Pass the present hour.")
    return parse_forecast(decode(path, read_bytes(path), "utf-8-sig"), place, now_hour=now_hour, source=str(path))


def _known(form: str, options: Mapping[str, Any], name: str) -> None:
    kinds: Mapping[str, tuple[type, ...]] = {"year": (int,), "wind_height_m": (int, float), "rain_unit": (str,)}
    for key, value in options.items():
        if key not in FORMS[form]:
            raise WeatherError(
                f"{name}: there is no option {key!r} for a file of form {form!r}.",
                remedy=f"The options are {', '.join(FORMS[form]) or 'none'}.",
            )
        if isinstance(value, bool) or not isinstance(value, kinds[key]):
            raise WeatherError(f"{name}: {key} is {value!r}.", remedy="Write a number, or a unit as text.")
