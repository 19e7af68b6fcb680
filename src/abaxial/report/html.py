"""The page as one self-contained HTML file: style, face and figures inside, no script, nothing fetched."""

import re
from dataclasses import dataclass
from pathlib import Path

from jinja2 import Environment, StrictUndefined
from markupsafe import Markup

from abaxial.report.blocks import Block, Figure, Notes, Page, Reasons
from abaxial.report.face import face_css
from abaxial.report.figures.frame import Form
from abaxial.report.figures.leaf_line import leaf_line_svg
from abaxial.report.figures.palette import css_variables

_TEMPLATES = Path(__file__).parent / "templates"


@dataclass(frozen=True)
class Leaf:
    """One block of the page with the remarks that stand beside it in the margin."""

    block: Block
    beside: tuple[Block, ...]


def page_html(page: Page) -> str:
    """The HTML of a page. Every name in it is escaped."""
    environment = Environment(
        autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True, finalize=_unbroken
    )
    template = environment.from_string((_TEMPLATES / "sheet.html").read_text(encoding="utf-8"))
    style = face_css() + css_variables() + (_TEMPLATES / "sheet.css").read_text(encoding="utf-8")
    return template.render(
        page=page,
        style=Markup(style),
        head=leaves(page.head),
        tail=leaves(page.tail),
        leaves=leaves,
        kind=lambda block: type(block).__name__.lower(),
        draw=_draw,
    )


def leaves(blocks: tuple[Block, ...]) -> list[Leaf]:
    """Blocks with their margins: reasons and notes stand beside the block they follow."""
    found: list[Leaf] = []
    for block in blocks:
        if isinstance(block, Reasons | Notes) and found:
            found[-1] = Leaf(found[-1].block, (*found[-1].beside, block))
        else:
            found.append(Leaf(block, ()))
    return found


def _unbroken(value: object) -> object:
    """Keeps a number with its unit, and a bracket with its insides, on one line."""
    if type(value) is not str:
        return value
    joined = re.sub(r"(\d) (?=(?:mm|in|°C|°F|%|m/s|mph)\b|%|°)", "\\1\u00a0", value)
    return re.sub(r"\(\S{1,9}\)|\(\S+ to \S+\)", lambda found: _one_piece(found[0]), joined)


def _one_piece(text: str) -> str:
    return text.replace(" ", "\u00a0").replace("–", "\u2060–\u2060")


def _draw(figure: Figure, form: Form, name: str) -> Markup:
    # the drawing escapes its own words
    return Markup(leaf_line_svg(figure.planting, figure.today, figure.text, form=form, name=name))
