"""The renderings of an answer: text, HTML, PDF and JSON, each from the same blocks."""

from abaxial import provenance
from abaxial.errors import AbaxialError
from abaxial.report import envelope, html, pdf, terminal
from abaxial.report.answers.week import WeekAnswer
from abaxial.report.pages.week import week_page
from abaxial.report.words.quantities import Units


def terminal_text(answer: WeekAnswer, units: Units = "metric") -> str:
    """Plain text of at most 80 columns."""
    return terminal.page_text(week_page(answer, provenance.sources(), units))


def html_text(answer: WeekAnswer, units: Units = "metric") -> str:
    """One self-contained HTML file."""
    return html.page_html(week_page(answer, provenance.sources(), units))


def pdf_bytes(answer: WeekAnswer, units: Units = "metric") -> bytes:
    """A tagged PDF."""
    return pdf.page_pdf(week_page(answer, provenance.sources(), units), made_at=answer.passport.made_at)


def json_text(answer: WeekAnswer) -> str:
    """The answer in its JSON envelope."""
    return envelope.answer_json(answer)


def error_json(error: AbaxialError, command: str, at: str = "") -> str:
    """An error in the same envelope. command : such as "week"."""
    return envelope.error_json(error, command, at)
