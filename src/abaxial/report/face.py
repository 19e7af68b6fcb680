"""The one face we print in, Atkinson Hyperlegible: its files, and the style sheet that carries it inside a page."""

from base64 import b64encode
from functools import cache
from importlib.resources import files
from pathlib import Path

FAMILY = "Atkinson Hyperlegible"
_PACKAGE = "fontpkg_atkinson_hyperlegible"
_WEIGHTS = {"Regular": 400, "Bold": 700}


def face_folder() -> Path:
    """The folder of the font files, in the installed package."""
    return Path(str(files(_PACKAGE))) / "files"


@cache
def face_css() -> str:
    """@font-face rules with the files inside them, so that a page needs nothing else."""
    return "".join(
        f"@font-face{{font-family:'{FAMILY}';font-weight:{weight};font-display:swap;"
        f"src:url(data:font/ttf;base64,{_inside(name)}) format('truetype')}}"
        for name, weight in _WEIGHTS.items()
    )


def _inside(name: str) -> str:
    return b64encode((face_folder() / f"AtkinsonHyperlegible-{name}.ttf").read_bytes()).decode("ascii")
