"""The page as one self-contained HTML file: style, face and figures inside, no script, nothing fetched."""

from dataclasses import dataclass, replace
from pathlib import Path

from jinja2 import Environment, StrictUndefined
from markupsafe import Markup

from abaxial.report.blocks import Actions, Block, Figure, Line, Notes, Page, Points, Reasons, Table
from abaxial.report.face import face_css
from abaxial.report.figures.frame import Form
from abaxial.report.figures.leaf_line import leaf_line_svg
from abaxial.report.figures.palette import css_variables
from abaxial.report.unbroken import unbroken

_TEMPLATES = Path(__file__).parent / "templates"


@dataclass(frozen=True)
class Leaf:
    """One block of the page with the remarks that stand beside it in the margin, and what may follow it there."""

    block: Block
    beside: tuple[Block, ...] = ()
    after: tuple[Block, ...] = ()


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
    """Blocks with their margins: reasons stand beside actions, notes beside the table they follow.

    The next table, all points that follow, or after a figure with its words in the margin the reasons, comes into the same row, so that a long
    margin leaves no hole in the page.
    """
    found: list[Leaf] = []
    for block in blocks:
        last = found[-1] if found else Leaf(Line(""))
        if (isinstance(block, Reasons) and isinstance(last.block, Actions)) or (isinstance(block, Notes) and found):
            found[-1] = replace(last, beside=(*last.beside, block))
        elif isinstance(block, Points) and last.beside and all(isinstance(each, Points) for each in last.after):
            found[-1] = replace(last, after=(*last.after, block))
        elif not last.after and (
            (isinstance(block, Table) and last.beside)
            or (isinstance(block, Reasons) and isinstance(last.block, Figure))
        ):
            found[-1] = replace(last, after=(block,))
        else:
            found.append(Leaf(block))
    return found


def _unbroken(value: object) -> object:
    # what is marked up already is left as it is
    return unbroken(value) if type(value) is str else value


def _draw(figure: Figure, form: Form, name: str) -> Markup:
    # the drawing escapes its own words
    return Markup(leaf_line_svg(figure.planting, figure.today, figure.text, form=form, name=name))
