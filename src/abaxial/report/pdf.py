"""The page as a tagged PDF (PDF/UA-1) by typst: names go in as data, never as markup."""

import json
import re
from dataclasses import asdict
from datetime import UTC, datetime
from pathlib import Path

import typst

from abaxial.errors import FaultError
from abaxial.report.blocks import Block, Figure, Page, Table
from abaxial.report.face import face_folder
from abaxial.report.figures.leaf_line import leaf_line_svg
from abaxial.report.unbroken import unbroken

_LONG_WORD = re.compile(r"[^\s]{16}(?=[^\s]{4})")
_TEMPLATE = Path(__file__).parent / "templates" / "sheet.typ"


def page_pdf(page: Page, *, made_at: str) -> bytes:
    """The PDF of a page; the same page made at the same time gives the same bytes.

    made_at : ISO 8601 time written into the document. Raises FaultError if it cannot be set.
    """
    try:
        return typst.compile(
            _TEMPLATE,
            format="pdf",
            pdf_standards=["ua-1"],
            timestamp=_seconds(made_at),
            font_paths=[face_folder()],
            ignore_system_fonts=True,
            sys_inputs={"page": json.dumps(_joined(_told(page)), ensure_ascii=False)},
        )
    except (RuntimeError, OSError) as error:
        raise FaultError(f"The PDF could not be set: {error}", remedy="The HTML page holds the same.") from error


def _told(page: Page) -> dict[str, object]:
    sections = [
        {
            "anchor": section.anchor,
            "title": section.title,
            "summary": section.summary,
            "blocks": [
                _block(block, f"{section.anchor}-{number}")
                for number, block in enumerate(section.blocks)
                # paper has room for the nights of the first planting; the HTML page has them all
                if place == 0 or not (isinstance(block, Table) and block.detail)
            ],
        }
        for place, section in enumerate(page.sections)
    ]
    return {
        "title": page.title,
        "kicker": page.kicker,
        "head": [_block(block, f"head-{number}") for number, block in enumerate(page.head)],
        "sections": sections,
        "tail": [_block(block, f"tail-{number}") for number, block in enumerate(page.tail)],
    }


def _joined(told: object) -> object:
    """The same, with what must stay on one line kept there; a drawing stays as it is."""
    if isinstance(told, dict):
        return {name: value if name in ("svg", "anchor") else _joined(value) for name, value in told.items()}
    if isinstance(told, list | tuple):
        return [_joined(each) for each in told]
    return _breakable(unbroken(_printable(told))) if isinstance(told, str) else told


def _printable(text: str) -> str:
    # no face has a shape for a control character, and a name may hold one
    return "".join(char for char in text if char == "\n" or char.isprintable())


def _breakable(text: str) -> str:
    # our face has no word joiner, and the setter breaks a word of any length only where it is told that it may
    return _LONG_WORD.sub("\\g<0>\u200b", text.replace("\u2060", ""))


def _block(block: Block, name: str) -> dict[str, object]:
    kind = type(block).__name__.lower()
    if isinstance(block, Figure):
        svg = leaf_line_svg(block.planting, block.today, block.text, theme="print", name=name)
        return {"kind": kind, "title": block.title, "text": block.text, "svg": svg}
    return {"kind": kind, **asdict(block)}


def _seconds(made_at: str) -> int:
    try:
        moment = datetime.fromisoformat(made_at)
    except ValueError:
        return 0
    return int((moment if moment.tzinfo else moment.replace(tzinfo=UTC)).timestamp())
