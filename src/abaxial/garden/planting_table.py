"""One planting of a description, read with every mistake noted."""

import re
from datetime import date

from abaxial.garden.parts import DISPOSALS, FLOWERS, TAKEN_OFF, Disposed, Planting
from abaxial.garden.section import Section, shown

_KEYS = (
    "name", "bed", "host", "cultivar", "clumps", "spacing_m", "since", *TAKEN_OFF, "disposals", *FLOWERS, "eaten",
    "worth_factor", "replaceable", "eppo_host", "eppo_pest", "flower_stems_per_week",
)  # fmt: skip
#: the forms of codes; whether one is the right one, only who looked it up can say. A genus begins with 1
_PLANT_CODE, _PEST_CODE = re.compile("[A-Z]{5}|1[A-Z]{4}"), re.compile("[A-Z0-9]{6}")


def read_planting(section: Section) -> Planting:
    """The planting that a table describes; whether its bed is there is not looked at. Mistakes go into the section."""
    section.only(*_KEYS)
    planting = Planting(
        name=section.text("name"),
        bed=section.text("bed"),
        host=section.text("host"),
        clumps=section.whole("clumps", 0, 100_000),
        spacing_m=section.number("spacing_m", 0.02, 20),
        since=section.day("since"),
        cultivar=section.text("cultivar", default=""),
        cut_down=section.days("cut_down"),
        low_leaves_off=section.days("low_leaves_off"),
        rusted_leaves_off=section.days("rusted_leaves_off"),
        disposals=tuple(_disposed(each) for each in section.each("disposals")),
        flowers_seen=section.days("flowers_seen"),
        no_flowers_seen=section.days("no_flowers_seen"),
        eaten=section.maybe("eaten"),
        worth_factor=section.number("worth_factor", 0, 1000, default=1.0),
        replaceable=section.truth("replaceable", default=True),
        eppo_host=_code(section, "eppo_host", _PLANT_CODE, "five capital letters, or 1 and four for a genus"),
        eppo_pest=_code(section, "eppo_pest", _PEST_CODE, "six capital letters or digits"),
        flower_stems_per_week=section.number("flower_stems_per_week", 0, 500, default=0.0),
    )
    for key in (*TAKEN_OFF, *FLOWERS):
        _check_after(section, key, getattr(planting, key), planting.since)
    _check_disposals(section, planting)
    _check_flowers(section, planting)
    return planting


def _code(section: Section, key: str, form: re.Pattern[str], rule: str) -> str:
    code = section.text(key, default="")
    if code and not form.fullmatch(code):
        section.wrong(f"{key} is {shown(code)}; it must be {rule}.", "Look it up once more, or leave it out.")
    return code


def _disposed(section: Section) -> Disposed:
    section.only("on", "what", "way")
    return Disposed(section.day("on"), section.choice("what", TAKEN_OFF), section.choice("way", DISPOSALS))


def _check_after(section: Section, key: str, days: tuple[date, ...], since: date) -> None:
    for day in days:
        if date(1900, 1, 1) < day < since:
            section.wrong(
                f"{key} holds {day}, which is before since = {since}.",
                "Set since to when these leaves began to grow from the ground, or leave the older date out.",
            )


def _check_disposals(section: Section, planting: Planting) -> None:
    seen = set()
    for on, what, _ in planting.disposals:
        if on not in getattr(planting, what):
            section.wrong(f"disposals speaks of {on}, which {what} does not hold.", f"Add the date to {what}.")
        if (on, what) in seen:
            section.wrong(f"disposals says twice where what was taken off on {on} went.", "Leave one out.")
        seen.add((on, what))


def _check_flowers(section: Section, planting: Planting) -> None:
    for on in sorted({*planting.flowers_seen} & {*planting.no_flowers_seen} - {date(1900, 1, 1)}):
        section.wrong(
            f"flowers_seen and no_flowers_seen both hold {on}.", "Keep the date in the one that was so in the end."
        )
