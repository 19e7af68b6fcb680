"""Where the numbers of a page come from: its papers in full, and what it was made from."""

from collections.abc import Mapping

from abaxial.provenance import Passport
from abaxial.report.blocks import Sources
from abaxial.report.words.quantities import listed

Bibliography = Mapping[str, Mapping[str, str]]


def paper(key: str, bibliography: Bibliography) -> str:
    """A work in full, or its key where the bibliography does not have it; and whether it was read or recalled."""
    entry = bibliography.get(key)
    if entry is None:
        return key
    told = f"{entry.get('authors', key)} ({entry.get('year', 'no year')}). {entry.get('title', '')}. {entry.get('where', '')}"
    recalled = " Recalled, not read again." if entry.get("status") == "memory" else ""
    return told.strip().rstrip(".").replace("..", ".") + "." + recalled


def weather_words(made: Passport) -> str:
    """When and from which weather: "2026-11-25 06:00 UTC from weather.csv"."""
    weather = listed(tuple(name for name, _ in made.weather)) or "no weather file"
    return f"{made.made_at[:16].replace('T', ' ')} UTC from {weather}"


def made_from(made: Passport, chance: str = "") -> tuple[tuple[str, str], ...]:
    """Every file and setting by name. chance : what stands beside the seed."""
    return (
        ("Abaxial", made.version),
        ("Made at", made.made_at),
        ("Chance", f"seed {made.seed}{f', {chance}' if chance else ''}"),
        *(("Weather", f"{name} ({digest})") for name, digest in made.weather),
        *(("Numbers of", f"{name} ({digest})") for name, digest in made.parameters),
        *((name.replace("_", " ").capitalize(), value) for name, value in made.settings),
    )


def made_in_short(made: Passport) -> Sources:
    """What a page without papers was made from."""
    in_short = f"Made by Abaxial {made.version} at {weather_words(made)}; seed {made.seed}."
    return Sources("Where the numbers come from", (), made_from(made), (), in_short)
