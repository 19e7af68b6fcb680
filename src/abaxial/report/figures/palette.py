"""The inks of our drawings: variables that follow a screen's light or dark, or fixed colours for paper."""

from dataclasses import dataclass
from typing import Literal

Theme = Literal["screen", "print", "alone"]

#: ink name to its colour on light and on dark paper
INKS = {
    "paper": ("#FAF7EF", "#1C1F1A"),
    "ink": ("#23261F", "#ECE9DF"),
    "muted": ("#494F44", "#B4B9AC"),
    "hairline": ("#D9D3C3", "#3A3E36"),
    "leaf": ("#4E6B4B", "#8FB08A"),
    "showing": ("#B0481A", "#E08A5B"),
    "latent": ("#6A5A95", "#B3A6DC"),
    "wet": ("#2F6F9F", "#7FB4DA"),
}


@dataclass(frozen=True)
class Palette:
    """What each kind of mark is drawn with."""

    paper: str
    ink: str
    muted: str
    hairline: str
    leaf: str
    showing: str
    latent: str
    wet: str


def palette(theme: Theme) -> Palette:
    """The inks of a theme. "screen" uses CSS variables of the same names, with the light colour where there are none;
    "print" and "alone" have fixed colours, on white and on a sheet of our paper."""
    if theme != "screen":
        white = {"paper": "#FFFFFF"} if theme == "print" else {}
        return Palette(**{name: light for name, (light, _) in INKS.items()} | white)
    return Palette(**{name: f"var(--{name},{light})" for name, (light, _) in INKS.items()})


def css_variables() -> str:
    """The variables for a style sheet: light first, dark where the reader prefers it and on no paper."""
    light = "".join(f"--{name}:{day};" for name, (day, _) in INKS.items())
    dark = "".join(f"--{name}:{night};" for name, (_, night) in INKS.items())
    return f":root{{{light}}}@media screen and (prefers-color-scheme:dark){{:root{{{dark}}}}}"
