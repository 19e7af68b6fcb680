"""The HTML page: one file, readable by eye and ear, on a phone, in the sun and at night, whatever things are named."""

import itertools
import re
import shutil
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest
from tests.rooms.invented_week import hostile_week, invented_week, week_without_estimate

from abaxial.report.figures.palette import INKS
from abaxial.report.html import page_html
from abaxial.report.pages.week import week_page

PAGE = page_html(week_page(invented_week(), {}))


class _Read(HTMLParser):
    """Tags with their attributes, in order, and all text outside style."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text: list[str] = []
        self._open = ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        self._open = tag

    def handle_data(self, data: str) -> None:
        if self._open != "style":
            self.text.append(data)

    def all(self, tag: str) -> list[dict[str, str | None]]:
        return [attributes for name, attributes in self.tags if name == tag]


READ = _Read(PAGE)


def test_the_page_fetches_nothing_and_runs_nothing() -> None:
    addresses = re.findall(r'(?:src|href|action)="([^"#][^"]*)"|url\((?!data:|#)([^)]*)\)', PAGE)

    assert addresses == []
    assert not {"script", "link", "iframe", "img", "form"} & {tag for tag, _ in READ.tags}
    assert "default-src 'none'" in PAGE


def test_the_page_carries_its_own_face() -> None:
    assert PAGE.count("src:url(data:font/ttf;base64,AAEAAA") == 2


def test_the_page_is_read_in_order() -> None:
    text = " ".join(READ.text)
    order = [
        "Turn the low leaves",
        "What to do",
        "Why: the quay",
        "All plantings",
        "The weeks ahead",
        "What a change",
        "What the walks found",
        "What the walks have taught",
        "What we do not know",
    ]

    places = [text.index(each) for each in [*order, "Where the numbers come from"]]
    assert places == sorted(places)


def test_each_planting_begins_with_how_it_is_doing_then_its_figure_then_why() -> None:
    parts = PAGE.split('<details class="planting"')[1:]
    second = parts[1]

    places = [
        second.index(each) for each in ("No rust was found on the 60 leaves", "<figure>", ">Why<", "The weeks ahead")
    ]
    assert places == sorted(places)
    assert "Rust is growing in the quay cannas" in parts[0]
    assert "Nobody has looked at day lilies by the gate yet" in parts[2]


def test_a_planting_without_an_estimate_has_no_weeks_ahead() -> None:
    page = page_html(week_page(week_without_estimate(), {}))

    assert "The weeks ahead" not in page
    assert "What the walks" not in page
    assert "nights’ worth hidden, if spores were about" in page


def test_what_the_walks_did_not_tell_is_said_plainly() -> None:
    taught = " ".join(PAGE[PAGE.index("What the walks have taught") :].split())

    assert taught.index("3 m (1 to 9)") < taught.index("3.1 m (1.1 to 9)") < taught.index("nothing yet")
    assert "the walks have said nothing of it" in taught


def test_a_look_hard_to_believe_is_marked_and_told() -> None:
    text = " ".join("".join(READ.text).split())

    assert "3 Nov *" in text
    assert "A second look there would tell which of the two is off." in text


def test_headings_never_skip_a_level() -> None:
    levels = [int(tag[1]) for tag, _ in READ.tags if re.fullmatch("h[1-6]", tag)]

    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in itertools.pairwise(levels))


def test_every_name_for_linking_is_used_once_and_every_link_arrives() -> None:
    names = [attributes["id"] for _, attributes in READ.tags if "id" in attributes]
    links = {(attributes["href"] or "")[1:] for attributes in READ.all("a")}

    assert len(names) == len(set(names))
    assert links <= set(names)
    assert len(links) == 7


def test_every_table_has_a_caption_and_heads_for_rows_and_columns() -> None:
    tables = re.findall(r"<table.*?</table>", PAGE, re.DOTALL)

    assert tables
    assert all("<caption>" in each and 'scope="col"' in each and 'scope="row"' in each for each in tables)


def test_every_table_can_be_reached_by_keyboard() -> None:
    assert PAGE.count('class="scroll" tabindex="0" role="region" aria-label=') == len(READ.all("table"))


@pytest.mark.parametrize("ink", ["ink", "muted"])
@pytest.mark.parametrize("side", [0, 1], ids=["light", "dark"])
def test_words_stand_out_seven_to_one(ink: str, side: int) -> None:
    assert _contrast(INKS[ink][side], INKS["paper"][side]) >= 7.0


def test_hostile_names_stay_words() -> None:
    page = page_html(week_page(hostile_week(), {}))
    read = _Read(page)

    assert read.all("script") == []
    assert read.all("b") == []
    assert "<script>alert('x')</script>" in "".join(read.text)


def test_a_garden_of_thirty_plantings_is_an_index_and_thirty_folded_parts() -> None:
    page = page_html(week_page(invented_week(30), {}))
    folded = [each for each in _Read(page).all("details") if each.get("class") == "planting"]

    assert len(folded) == 30
    assert sum("open" in each for each in folded) == 1
    assert len(page) < 2_000_000


def test_dates_from_borrowed_numbers_say_so() -> None:
    text = " ".join(READ.text)

    assert "† Dates borrowed from related rusts: a guide only." in text
    assert "the quay cannas †" in text
    assert "the wall beans †" not in text
    assert "The dates are borrowed from related rusts: a guide only." in text


def test_units_are_chosen_for_the_whole_page() -> None:
    page = page_html(week_page(invented_week(), {}, "us"))

    assert "°C" not in page
    assert " mm<" not in page
    assert "°F" in page


def test_sources_are_told_in_full_where_they_are_known() -> None:
    paper = {"authors": "Allen, R. G.", "year": "1998", "title": "Crops", "where": "FAO 56", "status": "memory"}

    page = page_html(week_page(invented_week(), {"allen1998": paper}))
    assert "Allen, R. G. (1998). Crops. FAO 56. Recalled, not read again." in page


def test_thirty_unkindly_named_plantings_still_make_a_page() -> None:
    week = invented_week(30)
    nasty = tuple(
        replace(each, planting=f"{number}</summary><i>{'x' * 90}", bed="\u202e\x00&lt;")
        for number, each in enumerate(week.plantings)
    )
    read = _Read(page_html(week_page(replace(week, plantings=nasty), {})))

    assert read.all("i") == []
    assert len([each for each in read.all("details") if each.get("class") == "planting"]) == 30


@pytest.mark.parametrize("width", [320, 390, 1280])
def test_nothing_hangs_over_the_edge_of_a_screen(width: int, tmp_path: Path) -> None:
    found = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
    playwright = pytest.importorskip("playwright.sync_api")
    if found is None:
        pytest.skip("no Chromium on the PATH")
    (tmp_path / "week.html").write_text(PAGE, encoding="utf-8")

    with playwright.sync_playwright() as running:
        browser = running.chromium.launch(executable_path=found, args=["--no-sandbox"])
        tab = browser.new_page(viewport={"width": width, "height": 844})
        tab.goto((tmp_path / "week.html").as_uri())
        shown = tab.evaluate("document.documentElement.scrollWidth")
        letters = tab.evaluate(
            "Math.min(...[...document.querySelectorAll('svg')].filter(s => s.getBoundingClientRect().width)"
            ".map(s => s.getAttribute('font-size') * s.getBoundingClientRect().width / s.viewBox.baseVal.width))"
        )
        browser.close()
    assert shown <= width
    assert letters >= 14.0


def _contrast(one: str, other: str) -> float:
    """Contrast of two colours as WCAG 2 reckons it, 1 to 21."""
    bright, dim = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (bright + 0.05) / (dim + 0.05)


def _luminance(colour: str) -> float:
    parts = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    red, green, blue = (each / 12.92 if each <= 0.04045 else ((each + 0.055) / 1.055) ** 2.4 for each in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
