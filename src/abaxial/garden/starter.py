"""The text of a new garden description, with comments that say what to fill in."""

from pathlib import Path

from abaxial.garden.writing import toml_value

#: what a site must say, with an example in the form it is written
SITE = {
    "name": '"My garden"',
    "latitude_deg": "-1.29      # south is negative",
    "longitude_deg": "36.82     # west is negative",
    "elevation_m": "1660        # above the sea",
    "zone": '"Africa/Nairobi"   # the clock you live by',
}


def starter_text(given: dict[str, object]) -> str:
    """The description of a garden without beds. given : what is known of the site; the rest is left to be filled in."""
    lines = []
    for key, example in SITE.items():
        value = given.get(key)
        lines.append(f"# {key} = {example}" if value is None else f"{key} = {toml_value(value)}")
    text = (Path(__file__).parent / "starter.toml").read_text(encoding="utf-8")
    return text.replace("{site}", "\n".join(lines))
