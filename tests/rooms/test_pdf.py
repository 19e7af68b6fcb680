"""The PDF: the same page on paper, tagged for reading aloud, the same bytes every time."""

from io import BytesIO

import pytest
from pypdf import PdfReader
from tests.rooms.invented_week import hostile_week, invented_week

from abaxial.errors import FaultError
from abaxial.report import pdf
from abaxial.report.pages.week import week_page

MADE_AT = "2026-11-25T06:00:00+00:00"
PAPER = pdf.page_pdf(week_page(invented_week(), {}), made_at=MADE_AT)
READ = PdfReader(BytesIO(PAPER))


def _words(reader: PdfReader) -> str:
    return " ".join(" ".join(page.extract_text() for page in reader.pages).split())


def test_the_paper_says_what_to_do_on_its_first_sheet() -> None:
    first = " ".join(READ.pages[0].extract_text().split())

    assert first.index("Turn the low leaves of the quay cannas") < first.index("What to do")


def test_every_planting_is_on_paper() -> None:
    words = _words(READ)

    assert [each.planting for each in invented_week().plantings if each.planting not in words] == []


def test_what_shows_and_hides_is_on_paper() -> None:
    words = _words(READ)

    assert "Rust is growing in the quay cannas" in words
    assert "The weeks ahead, with nothing done" in words
    assert "What the walks have taught" in words


def test_the_paper_can_be_read_aloud() -> None:
    root = READ.trailer["/Root"]

    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en"
    assert b"pdfuaid:part" in root["/Metadata"].get_data()


def test_the_figure_has_its_text_on_paper() -> None:
    assert any(b"Leaf line: the quay cannas" in text for text in _alternates(READ))


def test_only_our_face_is_used() -> None:
    fonts = {str(font["/BaseFont"]) for page in READ.pages for font in _fonts(page)}

    assert fonts
    assert all("AtkinsonHyperlegible" in each for each in fonts)


def test_the_same_page_gives_the_same_bytes() -> None:
    assert pdf.page_pdf(week_page(invented_week(), {}), made_at=MADE_AT) == PAPER


def test_hostile_names_are_printed_as_they_are() -> None:
    reader = PdfReader(BytesIO(pdf.page_pdf(week_page(hostile_week(), {}), made_at=MADE_AT)))

    assert "#evil *bold*" in _words(reader)
    assert "$x$ `raw`" in _words(reader)


def test_a_page_that_cannot_be_set_is_our_own_mistake(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pdf, "_TEMPLATE", pdf._TEMPLATE.parent / "nowhere.typ")

    with pytest.raises(FaultError, match="could not be set"):
        pdf.page_pdf(week_page(invented_week(1), {}), made_at=MADE_AT)


def _alternates(reader: PdfReader) -> list[bytes]:
    objects = (reader.get_object(number) for number in range(1, reader.trailer["/Size"]))
    return [str(each["/Alt"]).encode() for each in objects if isinstance(each, dict) and "/Alt" in each]


def _fonts(page):  # type: ignore[no-untyped-def]
    return [each.get_object() for each in page["/Resources"].get_object().get("/Font", {}).values()]
