"""A small garden with invented weather, a shelf and two beds, for the tests of what is asked between two plans."""

import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from abaxial.cli import main
from abaxial.report import schema
from abaxial.season import demo

AT = ("--at", "2026-03-12T06:30")
LABEL = """
[bottle.label]
form = "liquid"
actives = {{ {active} = "{strength}" }}
rate = "{rate}"
sites = ["ornamentals"]
pests = ["rust"]
interval_d = 14
most_applications = 8
most_product = "not printed"
reentry_h = 12
rain_fast_h = 2
protective = ["long sleeves"]
registration = "invented {number}"
"""
SHELF = (
    '\n[[bottle]]\nname = "Brown glass"\nleft = "400 ml"\nbought_on = 2025-11-02\n'
    + LABEL.format(active="clarified_neem_extract", strength="700 g/l", rate="10 ml/l", number=1)
    + '\n[[bottle]]\nname = "Square bottle"\nleft = "250 ml"\nbought_on = 2025-11-02\n'
    + LABEL.format(active="myclobutanil", strength="75 g/l", rate="3 ml/l", number=2)
    + '\n[[bottle]]\nname = "Old tin"\nleft = "200 g"\n[bottle.label]\nform = "powder"\nactives = { mancozeb = "80 %" }\n'
    + '\n[[bottle]]\nname = "Garlic water"\nkind = "home_brew"\n'
)
GROUND = """
[site]
name = "Tended garden (invented)"
invented = true
latitude_deg = -27.4
longitude_deg = 169.6
elevation_m = 35
zone = "Pacific/Norfolk"

[[bed]]
name = "Quay"
area_m2 = 12
east_m = 4
north_m = 22
shelter_frac = 0.9
watering = { manner = "overhead", local_hour = 6, amount_mm = 8, every_days = 3 }
[bed.near]
hives_m = "none"
fish_m = 14
animals = false
children = false
washing = false
roof_water_tank = false

[[bed]]
name = "Wall"
area_m2 = 6
east_m = 9
north_m = 17

[[bed]]
name = "Nursery"
area_m2 = 3
east_m = 30
north_m = 2

[[planting]]
name = "Cannas"
bed = "Quay"
host = "canna"
cultivar = "Harbour Flame"
clumps = 12
spacing_m = 0.8
since = 2025-10-05
no_flowers_seen = [2026-03-11]

[[planting]]
name = "Daylilies"
bed = "Wall"
host = "daylily"
clumps = 10
spacing_m = 0.4
since = 2025-09-10

[[walk]]
on = 2026-03-05
seen = [{ planting = "Cannas", part = "lower", turned = 20, rusted = 3 }]
"""


def lay_out(folder: Path) -> Path:
    """Write the garden with the demo's weather into a folder, and return its description."""
    path = demo.lay_out(folder)
    weather = "[[weather]]" + path.read_text(encoding="utf-8").split("\n[[weather]]", 1)[1]
    path.write_text(f"{GROUND}{SHELF}\n{weather}", encoding="utf-8")
    return path


def told(capsys: pytest.CaptureFixture[str], *words: str, code: int = 0) -> str:
    """What a command said; of one that failed, on the error stream, with nothing said of a fault of ours."""
    assert main.run([*words]) == code
    streams = capsys.readouterr()
    assert "our mistake" not in streams.err
    return streams.err if code else streams.out


def answered(capsys: pytest.CaptureFixture[str], command: str, *words: str) -> Any:
    """The answer of a command, as its committed schema has it."""
    said = json.loads(told(capsys, command, *words, "--json"))
    committed = Path(schema.__file__).parent / "schemas" / f"{command}.json"
    Draft202012Validator(json.loads(committed.read_text(encoding="utf-8"))).validate(said)
    return said["answer"]
