"""The garden description: a TOML file a person can write, read into a Garden or refused with every mistake named."""

import math
import tomllib
from pathlib import Path
from typing import cast

from abaxial import hours
from abaxial.errors import GardenError, InputError, ParameterError
from abaxial.garden import horizon
from abaxial.garden.parts import (
    Bed,
    Garden,
    Gardener,
    Manner,
    Noted,
    Obstacle,
    Surroundings,
    Watering,
    WeatherSource,
    Wind,
)
from abaxial.garden.planting_table import read_planting
from abaxial.garden.section import LONGEST_PATH, Mistake, Section, shown
from abaxial.place import Place
from abaxial.provenance import read_table

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
SOILS = ("loam", "sand", "clay")
MANNERS = ("none", "overhead", "soil")
#: what is written for the distance to something that is not there
NONE_NEAR = "none"
_AWAY, _AROUND = ("hives_m", "fish_m"), ("animals", "children", "washing", "roof_water_tank")
LONGEST_REMARK = 4000
#: no price or limit of a gardener's own is larger
MOST_VALUE = 1e9
#: mistakes told in full; of the rest only the number
TOLD = 5


def read_garden(path: Path) -> Garden:
    """The garden a description file describes.

    Files it names are looked for in its own folder. An empty garden and a bed without plants are allowed.
    Raises GardenError naming file, bed or planting, rule, value and what to do, for all mistakes together.
    """
    try:
        table = read_table(path)
    except ParameterError as error:
        raise GardenError(error.message, remedy=error.remedy, where=str(path)) from None
    return garden_from(table, where=path.name, folder=path.parent)


def garden_from_text(text: str, *, where: str, folder: str | Path) -> Garden:
    """The garden a description text describes; see read_garden. where : the file's name, for messages."""
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise GardenError(f"{where} cannot be read as TOML: {error}.", remedy="Mend that line.", where=where) from None
    return garden_from(table, where=where, folder=folder)


def garden_from(table: dict[str, object], *, where: str, folder: str | Path) -> Garden:
    """The garden of a description already taken out of its file. where : the file's name, for messages."""
    top = Section(table, where, [])
    top.only(
        "site", "bed", "planting", "gardener", "values", "weather", "noted", "walk", "walks_file", "bottle", "treatment",
        "declined",
    )  # fmt: skip
    site = top.inner("site", required=True)
    garden = Garden(
        name=site.text("name") if "site" in table else "",
        place=_place(site) if "site" in table else Place(0.0, 0.0, 0.0, "UTC"),
        beds=tuple(_bed(section) for section in top.each("bed")),
        plantings=tuple(read_planting(section) for section in top.each("planting")),
        gardener=_gardener(top.inner("gardener")),
        weather=tuple(_weather(section) for section in top.each("weather")),
        noted=tuple(_noted(section) for section in top.each("noted")),
        walks=tuple(_noted(section) for name in ("walk", "walks_file") for section in top.each(name)),
        bottles=tuple(_bottle(section) for section in top.each("bottle")),
        treatments=tuple(_treatment(section) for section in top.each("treatment")),
        declined=tuple(_declined(section) for section in top.each("declined")),
        values=_values(top.inner("values")),
        wind=_wind(site.inner("wind")),
        invented=site.truth("invented", default=False),
        folder=str(folder),
    )
    _check_names(top, garden)
    if top.mistakes:
        raise _error(where, top.mistakes)
    return garden


def _place(site: Section) -> Place:
    site.only("name", "latitude_deg", "longitude_deg", "elevation_m", "zone", "invented", "wind")
    zone = site.text("zone")
    try:
        hours.zone_named(zone or "UTC")
    except InputError as error:
        site.wrong(f"zone is {shown(zone)}: {error.message}", error.remedy)
    return Place(
        latitude_deg=site.number("latitude_deg", -90, 90),
        longitude_deg=site.number("longitude_deg", -180, 180),
        elevation_m=site.number("elevation_m", -430, 6000),
        zone=zone,
    )


def _wind(section: Section) -> Wind:
    section.only("from_deg", "steady_frac")
    return Wind(
        from_deg=section.number("from_deg", 0, 360, default=0.0),
        steady_frac=section.number("steady_frac", 0, 1, default=0.0),
    )


def _bed(section: Section) -> Bed:
    section.only("name", "area_m2", "soil", "shelter_frac", "east_m", "north_m", "watering", "obstacle", "near")
    obstacles = tuple(_obstacle(each) for each in section.each("obstacle"))
    return Bed(
        name=section.text("name"),
        area_m2=section.number("area_m2", 0.01, 100_000),
        obstacles=obstacles,
        watering=_watering(section.inner("watering")),
        soil=section.choice("soil", SOILS, default="loam"),
        shelter_frac=section.number("shelter_frac", 0.05, 1, default=horizon.open_wind_frac(obstacles)),
        east_m=section.number("east_m", -10_000, 10_000, default=0.0),
        north_m=section.number("north_m", -10_000, 10_000, default=0.0),
        surroundings=_surroundings(section.inner("near")),
    )


def _surroundings(section: Section) -> Surroundings:
    section.only(*_AWAY, *_AROUND)
    hives_m, fish_m = (_away_m(section, key) for key in _AWAY)
    return Surroundings(hives_m, fish_m, *(section.maybe(key) for key in _AROUND))


def _away_m(section: Section, key: str) -> float | None:
    """A distance; infinite where nothing is near, None where nobody said."""
    if key not in section.table:
        return None
    return math.inf if section.table[key] == NONE_NEAR else section.number(key, 0, 100_000)


def _obstacle(section: Section) -> Obstacle:
    section.only("from_deg", "to_deg", "height_m", "distance_m", "transmission_frac")
    obstacle = Obstacle(
        from_deg=section.number("from_deg", 0, 360),
        to_deg=section.number("to_deg", 0, 360),
        height_m=section.number("height_m", 0.01, 500),
        distance_m=section.number("distance_m", 0.01, 10_000),
        transmission_frac=section.number("transmission_frac", 0, 1, default=0.0),
    )
    if {"from_deg", "to_deg"} <= section.table.keys() and obstacle.from_deg % 360 == obstacle.to_deg:
        section.wrong(
            f"from_deg and to_deg are both {obstacle.to_deg:g}, a sector of no width.",
            "Write the two ends clockwise from north; 0 and 360 for all round.",
        )
    return obstacle


def _watering(section: Section) -> Watering:
    section.only("manner", "local_hour", "amount_mm", "every_days")
    watering = Watering(
        manner=cast(Manner, section.choice("manner", MANNERS, default="none")),
        local_hour=section.whole("local_hour", 0, 23, default=7),
        amount_mm=section.number("amount_mm", 0, 200, default=0.0),
        every_days=section.whole("every_days", 1, 60, default=1),
    )
    if (watering.manner == "none") != (watering.amount_mm == 0):
        section.wrong(
            f"manner is {watering.manner!r} with amount_mm {watering.amount_mm:g}.",
            'Give watering an amount above 0 mm, or write manner = "none" and leave the amount out.',
        )
    return watering


def _gardener(section: Section) -> Gardener:
    section.only("days", "minutes")
    minutes = section.whole("minutes", 0, 1440, default=60)
    if "days" not in section.table:
        return Gardener(minutes=minutes)
    chosen = set()
    for day in section.items("days"):
        if day in WEEKDAYS:
            chosen.add(WEEKDAYS.index(str(day)))
        else:
            section.wrong(f"days holds {shown(day)}.", f"Write days of the week in quotes: {', '.join(WEEKDAYS)}.")
    if not section.table["days"]:
        section.wrong("days is empty.", "Name at least one day, or leave days out if all are alike to you.")
    return Gardener(weekdays=tuple(sorted(chosen)), minutes=minutes)


def _weather(section: Section) -> WeatherSource:
    options = {key: value for key, value in section.table.items() if key not in ("file", "form")}
    return WeatherSource(path=section.text("file", longest=LONGEST_PATH), form=section.text("form"), options=options)


def _noted(section: Section) -> Noted:
    if not section.table:
        section.wrong("it says nothing.", 'Write what you noticed, such as rain = "last night", or leave it out.')
    return Noted(options=dict(section.table))


def _bottle(section: Section) -> Noted:
    section.text("name")
    if "bought_on" in section.table:
        section.day("bought_on")
    section.inner("label")
    return Noted(options=dict(section.table))


def _treatment(section: Section) -> Noted:
    section.only("on", "remedy", "plantings", "material", "details")
    section.day("on")
    section.text("remedy")
    if not section.items("plantings") or not all(isinstance(each, str) for each in section.items("plantings")):
        section.wrong("it names no planting.", 'Write plantings = ["…"], with one name at least.')
    section.text("material", default="")
    section.inner("details")
    return Noted(options=dict(section.table))


def _declined(section: Section) -> Noted:
    section.only("on", "task", "plantings", "details", "remark")
    section.day("on")
    section.text("task")
    section.text("remark", default="", longest=LONGEST_REMARK)
    if not all(isinstance(each, str) for each in section.items("plantings")):
        section.wrong("its plantings are no names.", 'Write plantings = ["…"], or leave it out.')
    section.inner("details")
    return Noted(options=dict(section.table))


def _values(section: Section) -> dict[str, float]:
    return {name: section.number(name, 0, MOST_VALUE) for name in section.table}


def _check_names(top: Section, garden: Garden) -> None:
    beds, plantings = [bed.name for bed in garden.beds], [planting.name for planting in garden.plantings]
    for kind, names in (("bed", beds), ("planting", plantings)):
        seen: dict[str, str] = {}
        for name in names:
            first = seen.setdefault(name.strip().casefold(), name)
            if name and first is not name:
                top.wrong(f"two {kind}s are called {shown(name)}.", f"Give every {kind} a name of its own.")
    for planting in garden.plantings:
        if planting.bed and planting.bed not in beds:
            known = ", ".join(shown(bed) for bed in beds[:8]) or "none yet"
            top.wrong(
                f"planting {shown(planting.name)} stands in bed {shown(planting.bed)}, which is not described.",
                f"Correct the name or add a [[bed]]. Beds here: {known}.",
            )


def _error(where: str, mistakes: list[Mistake]) -> GardenError:
    if len(mistakes) == 1:
        return GardenError(mistakes[0].message, remedy=mistakes[0].remedy, where=where)
    told = [f"  {mistake.message} {mistake.remedy}" for mistake in mistakes[:TOLD]]
    rest = len(mistakes) - len(told)
    more = [f"  … and {rest} more."] if rest else []
    message = "\n".join([f"{where} has {len(mistakes)} mistakes.", *told, *more])
    return GardenError(message, remedy="Mend these in the file, then try again.", where=where)
