"""A garden description: read, refused with every mistake named, and written so that it reads back the same."""

import math
import string
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import settings as trial
from hypothesis import strategies as some
from tests.clock import quickest_s
from tests.trial_garden import BED, PLANTING, SITE

from abaxial.errors import GardenError
from abaxial.garden.description import read_garden
from abaxial.garden.parts import (
    DISPOSALS,
    TAKEN_OFF,
    Bed,
    Disposed,
    Garden,
    Gardener,
    Noted,
    Obstacle,
    Planting,
    Surroundings,
    Watering,
    WeatherSource,
)
from abaxial.garden.writing import write_garden
from abaxial.place import Place


def written(folder: Path, text: str) -> Path:
    path = folder / "garden.toml"
    path.write_text(text, encoding="utf-8")
    return path


def refusal(folder: Path, text: str) -> GardenError:
    with pytest.raises(GardenError) as caught:
        read_garden(written(folder, text))
    return caught.value


def test_a_short_description_is_a_garden(tmp_path: Path):
    garden = read_garden(written(tmp_path, SITE + BED + PLANTING))

    assert garden.bed_of(garden.plantings[0]).name == "Quay"
    assert garden.place == Place(-1.3, 36.8, 1660.0, "Africa/Nairobi")
    assert garden.folder == str(tmp_path)


def test_an_empty_garden_is_a_garden(tmp_path: Path):
    garden = read_garden(written(tmp_path, SITE))

    assert (garden.beds, garden.plantings) == ((), ())


def test_a_bed_without_plants_is_allowed(tmp_path: Path):
    garden = read_garden(written(tmp_path, SITE + BED))

    assert garden.plantings == ()


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("latitude_deg = -1.3", "latitude_deg = 95", ["site", "latitude_deg is 95", "between -90 and 90"]),
        ("latitude_deg = -1.3", "latitude = -1.3", ["site", "latitude_deg is missing"]),
        ("latitude_deg = -1.3", 'latitude_deg = "1.3 S"', ["site", "latitude_deg is '1.3 S'", "not a number"]),
        ("latitude_deg = -1.3", "latitude_deg = nan", ["latitude_deg is nan", "not a number"]),
        ("latitude_deg = -1.3", "latitude_deg = true", ["latitude_deg is True", "not a number"]),
        ("Africa/Nairobi", "Africa/Nairoby", ["site", "Africa/Nairoby", "no time zone"]),
        ('name = "Trial garden"', 'name = ""', ["site", "name is ''"]),
        ("area_m2 = 4", "area_m2 = -4", ["bed 'Quay'", "area_m2 is -4"]),
        ("area_m2 = 4", 'area_m2 = 4\nsoil = "peat"', ["bed 'Quay'", "soil is 'peat'", "sand"]),
        ("area_m2 = 4", "area_m2 = 4\nshelter_frac = 60", ["shelter_frac is 60", "between 0.05 and 1"]),
        ("area_m2 = 4", "area_m2 = 4\nwatering = 3", ["bed 'Quay'", "watering is 3", "not a table"]),
        ("spacing_m = 0.6", "spacing_m = 0", ["planting 'Cannas'", "spacing_m is 0", "between 0.02 and 20"]),
        ("clumps = 6", "clumps = 6.5", ["planting 'Cannas'", "clumps is 6.5", "whole number"]),
        ("clumps = 6", "clumps = -6", ["planting 'Cannas'", "clumps is -6"]),
        ('bed = "Quay"', 'bed = "Pier"', ["planting 'Cannas'", "'Pier'", "not described", "'Quay'"]),
        ("since = 2026-01-10", 'since = "2026-01-10"', ["since holds '2026-01-10'", "without quotes"]),
        ("since = 2026-01-10", "since = 2026-01-10\ncut_down = [2025-12-01]", ["2025-12-01", "before since"]),
        ("since = 2026-01-10", "since = 2026-01-10\ncut_down = 2026-02-01", ["cut_down is 2026-02-01", "not a list"]),
        ("since = 2026-01-10", "since = 2026-01-10\nspaceing_m = 1", ["'spaceing_m'", "Did you mean spacing_m?"]),
        ("since = 2026-01-10", "since = 2026-01-10\n[bedd]", ["'bedd'", "Did you mean bed?"]),
        ("since = 2026-01-10", "since = 2026-01-10\n[gardener]\ndays = ['Funday']", ["gardener", "'Funday'", "Monday"]),
        ("since = 2026-01-10", "since = 2026-01-10\n[gardener]\ndays = []", ["gardener", "days is empty"]),
        ("since = 2026-01-10", "since = 2026-01-10\n[[noted]]", ["noted 1", "says nothing"]),
        ("since = 2026-01-10", "since = 2026-01-10\n[[weather]]\nform='epw'", ["weather 1", "file is missing"]),
        ("area_m2 = 4", "area_m2 = 4\nnear = { hives_m = 'far' }", ["bed 'Quay', near", "hives_m is 'far'"]),
        ("area_m2 = 4", "area_m2 = 4\nnear = { fish_m = -1 }", ["fish_m is -1", "between 0 and"]),
        ("area_m2 = 4", "area_m2 = 4\nnear = { children = 1 }", ["children is 1", "true or false"]),
        ("area_m2 = 4", "area_m2 = 4\nnear = { bees_m = 3 }", ["'bees_m'"]),
        ("since = 2026-01-10", "since = 2026-01-10\neaten = 'yes'", ["eaten is 'yes'", "true or false"]),
        (
            "since = 2026-01-10",
            "since = 2026-01-10\ndisposals = [{ on = 2026-02-01, what = 'cut_down', way = 'burn' }]",
            ["disposals speaks of 2026-02-01", "cut_down"],
        ),
        (
            "since = 2026-01-10",
            "since = 2026-01-10\ndisposals = [{ on = 2026-02-01, what = 'cut_down', way = 'sea' }]",
            ["way is 'sea'", "bag_and_bin"],
        ),
        ("since = 2026-01-10", "since = 2026-01-10\nrusted_leaves_off = [2025-12-01]", ["2025-12-01", "before since"]),
        ("since = 2026-01-10", "since = 2026-01-10\nno_flowers_seen = [2025-12-01]", ["2025-12-01", "before since"]),
        ("since = 2026-01-10", "since = 2026-01-10\nflowers_seen = 'May'", ["flowers_seen is 'May'", "not a list"]),
        (
            "since = 2026-01-10",
            "since = 2026-01-10\nflowers_seen = [2026-02-01]\nno_flowers_seen = [2026-02-02, 2026-02-01]",
            ["planting 'Cannas'", "both hold 2026-02-01", "so in the end"],
        ),
        ("since = 2026-01-10", "since = 2026-01-10\n[[bottle]]\nleft = '1 l'", ["bottle 1", "name is missing"]),
        ("since = 2026-01-10", "since = 2026-01-10\n[[treatment]]\nremedy = 'oil'", ["treatment 1", "on is missing"]),
        (
            "since = 2026-01-10",
            "since = 2026-01-10\n[[treatment]]\nremedy = 'oil'\non = 2026-02-01\nplantings = []",
            ["names no planting"],
        ),
        ("[[bed]]", "[bed]", ["bed is {", "not a list"]),
    ],
)
def test_a_mistake_is_told_with_where_rule_and_value(tmp_path: Path, old: str, new: str, said: list[str]):
    error = refusal(tmp_path, (SITE + BED + PLANTING).replace(old, new, 1))

    told = f"{error.message} {error.remedy}"
    assert told.startswith("garden.toml")
    assert [words for words in said if words not in told] == []
    assert error.remedy


def test_a_watering_habit_needs_an_amount(tmp_path: Path):
    error = refusal(tmp_path, SITE + BED + 'watering = { manner = "overhead", local_hour = 18 }')

    assert "bed 'Quay', watering: manner is 'overhead' with amount_mm 0" in error.message


def test_an_obstacle_is_named_by_its_bed_and_number(tmp_path: Path):
    obstacle = "[[bed.obstacle]]\nfrom_deg = 90\nto_deg = 90\nheight_m = 2\ndistance_m = 1\n"

    error = refusal(tmp_path, SITE + BED + obstacle)

    assert error.message.startswith("garden.toml, bed 'Quay', obstacle 1: from_deg and to_deg are both 90")


def test_two_beds_of_one_name_are_refused_even_in_other_letters(tmp_path: Path):
    error = refusal(tmp_path, SITE + BED + BED.replace("Quay", "QUAY "))

    assert "two beds are called 'QUAY '" in error.message


def test_what_nobody_said_of_the_surroundings_is_not_the_same_as_none(tmp_path: Path):
    near = 'near = { hives_m = "none", fish_m = 12, children = false }\n'

    [bed] = read_garden(written(tmp_path, SITE + BED + near)).beds

    assert bed.surroundings == Surroundings(hives_m=math.inf, fish_m=12.0, children=False)
    assert bed.surroundings.animals is None


def test_many_mistakes_are_told_together_five_in_full(tmp_path: Path):
    text = SITE + BED + "".join(PLANTING.replace("Cannas", f"Cannas {n}").replace("0.6", "0") for n in range(8))

    error = refusal(tmp_path, text)

    assert error.message.startswith("garden.toml has 8 mistakes.")
    assert error.message.count("spacing_m is 0") == 5
    assert "… and 3 more" in error.message


@pytest.mark.parametrize("content", [b"[site\n", b"\xff\xfe\x00", b"SQLite format 3\x00\x81"])
def test_a_file_that_is_not_toml_is_refused_by_name(tmp_path: Path, content: bytes):
    path = tmp_path / "garden.toml"
    path.write_bytes(content)

    with pytest.raises(GardenError, match=r"garden\.toml cannot be read as TOML"):
        read_garden(path)


def test_a_file_that_is_not_there_and_a_folder_are_refused(tmp_path: Path):
    with pytest.raises(GardenError, match="no file"):
        read_garden(tmp_path / "nowhere.toml")
    with pytest.raises(GardenError, match="cannot be read"):
        read_garden(tmp_path)


def test_an_empty_file_says_what_to_write(tmp_path: Path):
    error = refusal(tmp_path, "")

    assert error.message == "garden.toml: there is no [site]."
    assert "[site]" in error.remedy


def test_two_hundred_beds_are_read_in_a_moment(tmp_path: Path):
    beds = "".join((BED + PLANTING).replace("Quay", f"Bed {n}").replace("Cannas", f"C {n}") for n in range(200))
    path = written(tmp_path, SITE + beds)

    assert len(read_garden(path).beds) == 200
    assert quickest_s(lambda: read_garden(path)) < 1.0


# ------------------------------------------------------------------ written and read back

letters = some.characters(codec="utf-8", categories=("L", "N", "P", "S")) | some.sampled_from(" \"\\'#=[]")
names = some.text(letters, min_size=1, max_size=30).filter(lambda name: name.strip() != "" and name.isprintable())
days = some.dates(date(2001, 1, 1), date(2100, 1, 1))
keys = some.text(string.ascii_letters + " .-_é", min_size=1, max_size=8).filter(lambda key: key not in ("file", "form"))
plain = some.one_of(
    some.booleans(),
    some.integers(-(2**53), 2**53),
    some.floats(allow_nan=False, allow_infinity=False),
    some.text(max_size=20).filter(lambda text: text.encode("utf-8", "ignore").decode() == text),
    days,
    some.datetimes(),
    some.times(),
)
options = some.dictionaries(keys, plain | some.lists(plain, max_size=3) | some.dictionaries(keys, plain, max_size=3))


def numbers(low: float, high: float) -> some.SearchStrategy[float]:
    return some.floats(low, high, allow_nan=False)


obstacles = some.builds(
    Obstacle, numbers(0, 170), numbers(180, 360), numbers(0.01, 500), numbers(0.01, 10_000), numbers(0, 1)
)
aways = some.none() | some.just(math.inf) | numbers(0, 100_000)
waterings = some.just(Watering()) | some.builds(
    Watering,
    some.sampled_from(["overhead", "soil"]),
    some.integers(0, 23),
    numbers(0.1, 200),
    some.integers(1, 60),
)
beds = some.builds(
    Bed,
    names,
    numbers(0.01, 100_000),
    some.lists(obstacles, max_size=2).map(tuple),
    waterings,
    some.sampled_from(["sand", "loam", "clay"]),
    numbers(0.05, 1),
    numbers(-10_000, 10_000),
    numbers(-10_000, 10_000),
    some.builds(Surroundings, aways, aways, *[some.none() | some.booleans()] * 4),
)
bottles = some.builds(
    lambda name, more, label: Noted({"name": name, **more, **label}),
    names,
    some.fixed_dictionaries({}, optional={"left": some.just("5 l"), "bought_on": days, "price": numbers(0, 99)}),
    some.fixed_dictionaries({}, optional={"label": options}),
)
treatments = some.builds(
    lambda on, remedy, plantings, more: Noted({"on": on, "remedy": remedy, "plantings": plantings, **more}),
    days,
    names,
    some.lists(names, min_size=1, max_size=2),
    some.fixed_dictionaries({}, optional={"material": names, "details": options}),
)


@some.composite
def gardens(draw: some.DrawFn) -> Garden:
    found = draw(some.lists(beds, max_size=3, unique_by=lambda bed: bed.name.strip().casefold()))
    after = some.lists(some.dates(date(2100, 1, 1), date(2150, 1, 1)), max_size=2).map(tuple)
    flowers, none = (
        some.lists(some.dates(date(first, 1, 1), date(first + 9, 1, 1)), max_size=2).map(tuple)
        for first in (2100, 2110)
    )
    standing = some.builds(
        Planting,
        names,
        some.sampled_from([bed.name for bed in found] or ["none"]),
        names,
        some.integers(0, 100_000),
        numbers(0.02, 20),
        days,
        some.just("") | names,
        after,
        after,
        after,
        flowers_seen=flowers,
        no_flowers_seen=none,
        eaten=some.none() | some.booleans(),
        worth_factor=some.just(1.0) | some.floats(0, 1000),
        replaceable=some.booleans(),
        flower_stems_per_week=some.just(0.0) | numbers(0, 500),
    )
    ways = some.sampled_from(DISPOSALS)
    by_name = {"unique_by": lambda planting: planting.name.strip().casefold()}
    return Garden(
        name=draw(names),
        place=Place(draw(numbers(-90, 90)), draw(numbers(-180, 180)), draw(numbers(-430, 6000)), "Pacific/Apia"),
        beds=tuple(found),
        plantings=tuple(
            replace(
                each,
                disposals=tuple(
                    Disposed(on, what, draw(ways)) for what in TAKEN_OFF for on in dict.fromkeys(getattr(each, what))
                ),
            )
            for each in draw(some.lists(standing, max_size=3, **by_name))
        )
        if found
        else (),
        gardener=Gardener(
            tuple(sorted(draw(some.sets(some.integers(0, 6), min_size=1)))), draw(some.integers(0, 1440))
        ),
        weather=tuple(draw(some.lists(some.builds(WeatherSource, names, names, options), max_size=2))),
        noted=tuple(draw(some.lists(some.builds(Noted, options.filter(bool)), max_size=2))),
        bottles=tuple(draw(some.lists(bottles, max_size=2))),
        treatments=tuple(draw(some.lists(treatments, max_size=2))),
        invented=draw(some.booleans()),
    )


@trial(max_examples=60, deadline=None)
@given(gardens())
def test_a_garden_written_down_reads_back_the_same(tmp_path_factory: pytest.TempPathFactory, garden: Garden):
    folder = tmp_path_factory.mktemp("garden")

    back = read_garden(written(folder, write_garden(garden)))

    assert back == Garden(**{**vars(garden), "folder": str(folder)})


# ------------------------------------------------------------------ what is set, turned down and coded


def test_values_codes_and_what_was_turned_down_are_read_and_written(tmp_path: Path):
    coded = PLANTING + 'eppo_host = "AAAAA"\neppo_pest = "BBB0CC"\n'
    declined = '[[declined]]\non = 2026-03-01\ntask = "oil"\nplantings = ["Cannas"]\nremark = "No time."\n'
    garden = read_garden(written(tmp_path, SITE + "[values]\nclump_money = 30\n" + BED + coded + declined))

    assert garden.values == {"clump_money": 30.0}
    assert [each.options["task"] for each in garden.declined] == ["oil"]
    assert (garden.plantings[0].eppo_host, garden.plantings[0].eppo_pest) == ("AAAAA", "BBB0CC")
    assert read_garden(written(tmp_path, write_garden(garden))) == garden


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ('eppo_host = "canna"\n', "eppo_host is 'canna'; it must be five capital letters"),
        ('eppo_host = "1AAA"\n', "eppo_host is '1AAA'"),
        ('eppo_pest = "RUST"\n', "eppo_pest is 'RUST'; it must be six capital letters or digits"),
        ("flower_stems_per_week = -1\n", "flower_stems_per_week is -1; it must lie between 0 and 500"),
        ("flower_stems_per_week = 501\n", "flower_stems_per_week is 501; it must lie between 0 and 500"),
        ("flower_stems_per_week = true\n", "flower_stems_per_week is True, which is not a number"),
        ("[values]\nclump_money = -3\n", "clump_money is -3; it must lie between 0 and"),
        ('[values]\nclump_money = "much"\n', "clump_money is 'much', which is not a number"),
        ('[[declined]]\ntask = "oil"\n', "on is missing"),
        ('[[declined]]\non = 2026-03-01\ntask = "oil"\nplantings = [3]\n', "its plantings are no names"),
    ],
)
def test_a_value_or_code_that_cannot_be_is_refused(tmp_path: Path, more: str, said: str):
    assert said in refusal(tmp_path, SITE + BED + PLANTING + more).message
