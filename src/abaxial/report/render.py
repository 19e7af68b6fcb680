"""The renderings of an answer: text, HTML, PDF and JSON, each from the same blocks, and a calendar of its tasks."""

from abaxial import provenance
from abaxial.errors import AbaxialError
from abaxial.report import calendar, envelope, html, pdf, terminal
from abaxial.report.answers.disposal import DisposalAnswer
from abaxial.report.answers.hours import HoursAnswer
from abaxial.report.answers.mix import MixAnswer
from abaxial.report.answers.shelf import ShelfAnswer
from abaxial.report.answers.stock import StockAnswer
from abaxial.report.answers.walk import WalkAnswer
from abaxial.report.answers.week import WeekAnswer
from abaxial.report.blocks import Page
from abaxial.report.envelope import Answer
from abaxial.report.pages.disposal import disposal_page
from abaxial.report.pages.hours import hours_page
from abaxial.report.pages.mix import mix_page
from abaxial.report.pages.plan.stock import stock_page
from abaxial.report.pages.shelf import shelf_page
from abaxial.report.pages.walk import walk_page
from abaxial.report.pages.week import week_page
from abaxial.report.words.quantities import Units


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


def calendar_bytes(answer: WeekAnswer, units: Units = "metric") -> bytes:
    """The week's tasks as an iCalendar file."""
    return calendar.week_calendar(answer, units)


def error_json(error: AbaxialError, command: str, at: str = "") -> str:
    """An error in the same envelope. command : such as "week"."""
    return envelope.error_json(error, command, at)


def _page(answer: Answer, units: Units) -> Page:
    match answer:
        case WalkAnswer():
            return walk_page(answer, units)
        case ShelfAnswer():
            return shelf_page(answer, units)
        case MixAnswer():
            return mix_page(answer, units)
        case HoursAnswer():
            return hours_page(answer, units)
        case DisposalAnswer():
            return disposal_page(answer, units)
        case StockAnswer():
            return stock_page(answer, units)
        case WeekAnswer():
            return week_page(answer, provenance.sources(), units)
