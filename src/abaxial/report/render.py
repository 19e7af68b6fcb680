"""The renderings of an answer: text, HTML, PDF and JSON, each from the same blocks."""

from abaxial import provenance
from abaxial.errors import AbaxialError
from abaxial.report import envelope, html, pdf, terminal
from abaxial.report.answers.walk import WalkAnswer
from abaxial.report.answers.week import WeekAnswer
from abaxial.report.blocks import Page
from abaxial.report.pages.walk import walk_page
from abaxial.report.pages.week import week_page
from abaxial.report.words.quantities import Units

Answer = WeekAnswer | WalkAnswer


def terminal_text(answer: Answer, units: Units = "metric") -> str:
    """Plain text of at most 80 columns."""
    return terminal.page_text(_page(answer, units))


def html_text(answer: Answer, units: Units = "metric") -> str:
    """One self-contained HTML file."""
    return html.page_html(_page(answer, units))


def pdf_bytes(answer: Answer, units: Units = "metric") -> bytes:
    """A tagged PDF."""
    return pdf.page_pdf(_page(answer, units), made_at=answer.passport.made_at)


def json_text(answer: Answer) -> str:
    """The answer in its JSON envelope."""
    return envelope.answer_json(answer)


def error_json(error: AbaxialError, command: str, at: str = "") -> str:
    """An error in the same envelope. command : such as "week"."""
    return envelope.error_json(error, command, at)


def _page(answer: Answer, units: Units) -> Page:
    if isinstance(answer, WalkAnswer):
        return walk_page(answer, units)
    return week_page(answer, provenance.sources(), units)
