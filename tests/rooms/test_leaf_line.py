"""The leaf line: what hides below the line, drawn so that it can be read in grey, on a phone and by ear."""

import re
from dataclasses import replace
from datetime import date, timedelta
from itertools import combinations
from xml.etree import ElementTree

import pytest
from tests.rooms.invented_estimate import estimate_of
from tests.rooms.invented_plan import remedies
from tests.rooms.invented_week import TODAY, hostile_week, invented_week, week_without_estimate

from abaxial.report.answers.week import Band, DateBand, Infection, Look, PlantingWeek, RemedyMark
from abaxial.report.figures import marks, seen
from abaxial.report.figures.frame import Form, Frame, frame
from abaxial.report.figures.labels import Label, label_box, overlap
from abaxial.report.figures.leaf_line import leaf_line_svg
from abaxial.report.figures.leaf_strip import leaf_strip
from abaxial.report.figures.palette import palette

WEEK = invented_week()
QUAY = WEEK.plantings[0]
FORMS: tuple[Form, ...] = ("wide", "upright")
SVG = "{http://www.w3.org/2000/svg}"


def _drawn(planting: PlantingWeek, form: Form = "wide") -> ElementTree.Element:
    return ElementTree.fromstring(leaf_line_svg(planting, TODAY, "in words", form=form))


def _wide() -> Frame:
    return frame("wide", TODAY, 14.0, 20)


def _ends(path_element: str) -> tuple[float, float]:
    numbers = re.findall(r"-?\d+\.?\d*", re.search(r'd="([^"]*)"', path_element)[1])  # type: ignore[index]
    return float(numbers[-2]), float(numbers[-1])


@pytest.mark.parametrize("form", FORMS)
def test_the_figure_has_a_name_and_a_text_for_those_who_cannot_see_it(form: Form) -> None:
    root = _drawn(QUAY, form)

    told = [root.find(f"{SVG}{name}").text for name in ("title", "desc")]  # type: ignore[union-attr]
    assert root.get("role") == "img"
    assert told == ["Leaf line: the quay cannas, Quay bed", "in words"]


BARE = tuple(replace(each, planting=f"{each.planting}, weather alone") for each in week_without_estimate().plantings)
LOOKING = tuple(
    replace(
        QUAY, planting=f"look in {ahead} days", look_days=tuple(TODAY + timedelta(days=ahead + each) for each in (0, 3))
    )
    for ahead in range(10)
)


CUT_DOWN = RemedyMark(TODAY - timedelta(days=1), "cut_down", "cut down", None, True)
TREATED = tuple(
    replace(each, planting=f"{each.planting}, treated", remedies=(*remedies(), CUT_DOWN)) for each in (QUAY, BARE[0])
)


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("planting", WEEK.plantings + LOOKING + BARE + TREATED, ids=lambda each: each.planting)
def test_no_two_labels_lie_on_each_other(planting: PlantingWeek, form: Form) -> None:
    root = _drawn(planting, form)
    letter_px = float(root.get("font-size", "0"))
    boxes = [
        label_box(
            Label(float(each.get("x", 0)), float(each.get("y", 0)), each.get("text-anchor", "start"), each.text or ""),
            0.88 * letter_px,
        )
        for each in root.iter(f"{SVG}text")
    ]

    assert [pair for pair in combinations(boxes, 2) if overlap(*pair)] == []


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("planting", [*WEEK.plantings, BARE[0], *TREATED], ids=lambda each: each.planting)
def test_every_label_stays_on_the_sheet(planting: PlantingWeek, form: Form) -> None:
    root = _drawn(planting, form)
    width = float(root.get("viewBox", "").split()[2])

    boxes = [
        label_box(Label(float(each.get("x", 0)), 0, each.get("text-anchor", "start"), each.text or ""), 14)
        for each in root.iter(f"{SVG}text")
    ]
    assert all(left >= 0 and right <= width for left, _, right, _ in boxes)


def test_no_letter_on_a_phone_is_smaller_than_fourteen_pixels() -> None:
    svg = leaf_line_svg(QUAY, TODAY, "", form="upright")
    shown_px, drawn_px = 328.0, float(re.search(r'viewBox="0 0 (\d+)', svg)[1])  # type: ignore[index]

    sizes = [float(each) for each in re.findall(r'font-size[=:]"?([\d.]+)', svg)]
    assert min(sizes) * shown_px / drawn_px >= 14.0


def test_the_paper_figure_has_fixed_colours_and_the_screen_figure_follows_the_screen() -> None:
    on_paper, on_screen = (leaf_line_svg(QUAY, TODAY, "", theme=theme) for theme in ("print", "screen"))

    assert "var(" not in on_paper
    assert "var(--latent," in on_screen


def test_a_night_still_to_come_begins_with_an_open_dot() -> None:
    place, infection = _wide(), QUAY.infections[-1]
    night = place.along(infection.night)

    lived, ahead = (
        marks.infection_way(place, palette("print"), infection, "n", night + shift, faint=False) for shift in (1, -1)
    )
    assert f"fill:{palette('print').paper}" in ahead
    assert f"fill:{palette('print').paper}" not in lived


def test_an_infection_reaches_the_line_on_the_day_it_should_show() -> None:
    place, infection = _wide(), QUAY.infections[-1]

    way = marks.infection_way(place, palette("print"), infection, "n", 99.0, faint=False)
    x, y = place.at(place.along(infection.showing.mid), 0)
    assert _ends(way) == pytest.approx((round(x, 1), y), abs=0.11)


def test_a_longer_way_begins_deeper() -> None:
    place, infection = frame("wide", TODAY, 28.0, 20), QUAY.infections[-1]
    late = replace(infection.showing, mid=infection.showing.mid + timedelta(days=9))

    slower = replace(infection, showing=late)
    assert marks.dot_point(place, slower)[1] > marks.dot_point(place, infection)[1]


def test_more_let_in_is_a_larger_dot() -> None:
    little, much = (replace(QUAY.infections[0], infection_frac=Band(0, share, 1)) for share in (0.1, 0.6))

    assert marks.dot_radius_px(much) ** 2 == pytest.approx(6 * marks.dot_radius_px(little) ** 2)


def test_more_doubt_is_a_wider_band() -> None:
    sure, unsure = (_with_doubt(QUAY.infections[-1], doubt) for doubt in (0.1, 0.3))

    assert _band_width(unsure) > 2 * _band_width(sure)


def test_a_band_that_may_never_show_ends_with_the_outlook() -> None:
    infection = _with_doubt(QUAY.infections[-1], 0.9)
    place = _wide()

    band = marks.infection_band(place, infection, "n")
    x, y = place.at(place.along(infection.night) + len(infection.rise) - 1, 0)
    assert f"L{x:.1f} {y:.0f}" in band


def test_a_wetter_night_hangs_lower() -> None:
    place, inks, night = _wide(), palette("print"), QUAY.nights[5]

    short, long = (_ends(marks.wet_stroke(place, inks, replace(night, wet_h_lower=Band(h, h, h)))) for h in (5.0, 15.0))
    assert long[1] > short[1]


def test_a_dry_night_hangs_nothing() -> None:
    night = replace(QUAY.nights[5], wet_h_lower=Band(0, 1, 2))

    assert marks.wet_stroke(_wide(), palette("print"), night) == ""


def test_a_wet_night_ahead_is_not_drawn_as_if_lived() -> None:
    night = replace(QUAY.nights[5], wet_h_lower=Band(9, 12, 14))

    lived, ahead = (marks.wet_stroke(_wide(), palette("print"), replace(night, ahead=each)) for each in (False, True))
    assert "dasharray" not in lived
    assert "dasharray" in ahead


def test_upright_time_runs_down_and_depth_runs_right() -> None:
    place = frame("upright", TODAY, 14.0, 20)

    start, later, deeper = place.at(0, 0), place.at(1, 0), place.at(0, 1)
    assert later[1] > start[1]
    assert later[0] == start[0]
    assert deeper[0] > start[0]
    assert deeper[1] == start[1]


def test_a_hostile_name_stays_text() -> None:
    first = hostile_week().plantings[0]

    root = _drawn(first)
    title = root.find(f"{SVG}title")
    assert title is not None
    assert title.text == f"Leaf line: {first.planting}, {first.bed}"


def test_a_planting_with_nothing_in_its_leaves_says_so() -> None:
    spare = next(each for each in WEEK.plantings if each.planting == "the spare bed")

    assert "nothing hidden" in leaf_line_svg(spare, TODAY, "")


def test_a_long_history_does_not_make_a_heavy_figure() -> None:
    old = tuple(replace(QUAY.infections[0], night=date(2026, 5, 1), showing=_shown_in_may()) for _ in range(100))

    heavy = leaf_line_svg(replace(QUAY, infections=QUAY.infections + old), TODAY, "")
    assert len(heavy) < 1.1 * len(leaf_line_svg(QUAY, TODAY, ""))


def test_the_strip_for_a_terminal_puts_today_above_today() -> None:
    rows = leaf_strip(QUAY, TODAY).splitlines()

    assert rows[0].index("today") == 13 + 28
    assert max(map(len, rows)) <= 80


def test_the_strip_shows_what_shows_and_who_looked_only_where_that_is_reckoned() -> None:
    shown, bare = leaf_strip(QUAY, TODAY), leaf_strip(BARE[0], TODAY)

    row = next(each for each in shown.splitlines() if each.startswith("shows"))[13:]
    assert [index - 28 for index, sign in enumerate(row) if sign == "O"] == [-22, -15, -9, -2]
    assert row[-1] == "█"
    assert "█" not in bare
    assert max(map(len, shown.splitlines())) <= 80


ESTIMATE = estimate_of("card_growing", "the quay cannas")
OPEN = frame("wide", TODAY, 14.0, 20, above_px=80.0)
HEIGHT = seen.height_of(ESTIMATE, OPEN)
COUNTED = Look(TODAY - timedelta(days=3), "lower", "counted", 50, 10, Band(0.12, 0.21, 0.33), None)


def _ring(look: Look, place: Frame = OPEN) -> tuple[float, float]:
    drawn = ElementTree.fromstring(f"<g>{seen.look_mark(place, palette('print'), look, HEIGHT)}</g>").find("circle")
    assert drawn is not None
    return float(drawn.get("cx", "")), float(drawn.get("cy", ""))


def test_a_ring_stands_as_high_as_what_was_seen() -> None:
    share_frac = 10 / 50 / HEIGHT.top_frac

    assert _ring(COUNTED)[1] == pytest.approx(OPEN.line_px - 80 * share_frac, abs=0.1)


def test_a_look_that_found_nothing_is_a_ring_on_the_line() -> None:
    counted = replace(COUNTED, rusted=0, incidence=Band(0.0, 0.01, 0.05))
    uncounted = replace(COUNTED, amount="none", turned=None, rusted=None, incidence=None)

    assert {_ring(counted)[1], _ring(uncounted)[1]} == {OPEN.line_px}


def test_rust_that_was_seen_and_not_counted_is_a_dotted_ring_off_the_line() -> None:
    some = replace(COUNTED, amount="some", turned=None, rusted=None, incidence=None)

    mark = seen.look_mark(OPEN, palette("print"), some, HEIGHT)
    assert "dasharray" in mark
    assert _ring(some)[1] < OPEN.line_px


def test_a_surer_look_has_a_shorter_whisker() -> None:
    surer = replace(COUNTED, incidence=Band(0.18, 0.2, 0.22))

    long, short = (_whisker_px(look) for look in (COUNTED, surer))
    assert long == pytest.approx(80 * 0.21 / HEIGHT.top_frac, abs=0.11)
    assert short == pytest.approx(80 * 0.04 / HEIGHT.top_frac, abs=0.11)


def test_upright_what_shows_grows_to_the_left() -> None:
    place = frame("upright", TODAY, 14.0, 20, above_px=70.0)
    more = replace(COUNTED, rusted=15)

    assert _ring(more, place)[0] < _ring(COUNTED, place)[0] < place.line_px


def test_what_is_lived_is_solid_and_what_is_ahead_is_hatched() -> None:
    lived = seen.shows_area(OPEN, palette("print"), ESTIMATE.days, HEIGHT, "n")
    ahead = seen.shows_ahead(OPEN, palette("print"), ESTIMATE.days, HEIGHT, "n")

    assert "url(#n-past)" in lived
    assert "url(#n-seen)" not in lived
    assert f"fill:{palette('print').showing}" not in ahead
    assert ahead.count("url(#n-ahead)") == 2


def test_height_is_read_in_what_was_counted() -> None:
    unseen = replace(ESTIMATE, looks=())

    assert seen.height_of(ESTIMATE, OPEN).of == "leaves"
    assert seen.height_of(unseen, OPEN).of == "area"


def test_the_top_of_the_scale_holds_every_look_and_all_that_was_lived() -> None:
    high = replace(ESTIMATE, looks=(replace(COUNTED, rusted=40, incidence=Band(0.6, 0.79, 0.83)),))

    assert seen.height_of(high, OPEN).top_frac == 1.0
    assert seen.height_of(replace(ESTIMATE, looks=(), days=ESTIMATE.days[:5]), OPEN).top_frac <= 0.05


def test_a_garden_without_a_trace_of_rust_still_has_a_scale() -> None:
    nothing = Band(0.0, 0.0, 0.0)
    days = tuple(replace(each, showing_frac=nothing, incidence_frac=nothing) for each in ESTIMATE.days)

    clean = replace(QUAY, estimate=replace(ESTIMATE, days=days, looks=()))
    assert "0.5 %" in leaf_line_svg(clean, TODAY, "")


@pytest.mark.parametrize("form", FORMS)
def test_the_figure_says_what_height_stands_for_only_where_something_stands_there(form: Form) -> None:
    with_height, without = (leaf_line_svg(each, TODAY, "", form=form) for each in (QUAY, BARE[0]))

    assert "much you can see" in with_height
    assert "of leaves" in with_height
    assert "hidden today" in with_height
    assert "much you can see" not in without
    assert "seen on a walk" not in without


def test_a_figure_without_days_is_still_drawn() -> None:
    empty = replace(QUAY, estimate=replace(ESTIMATE, days=(), looks=()))

    assert ElementTree.fromstring(leaf_line_svg(empty, TODAY, "")).get("role") == "img"


def _whisker_px(look: Look) -> float:
    drawn = re.search(
        r'd="M([\d.]+) ([\d.]+) L([\d.]+) ([\d.]+)"', seen.look_mark(OPEN, palette("print"), look, HEIGHT)
    )
    assert drawn is not None
    return float(drawn[2]) - float(drawn[4])


def _shown_in_may() -> DateBand:
    band = QUAY.infections[0].showing
    return replace(band, low=date(2026, 5, 10), mid=date(2026, 5, 14), high=date(2026, 5, 20))


def _with_doubt(infection: Infection, doubt: float) -> Infection:
    rise = tuple(Band(day / 14 * (1 - doubt), day / 14, day / 14 * (1 + doubt)) for day in range(40))
    return replace(infection, rise=rise)


def _band_width(infection: Infection) -> float:
    """How wide the band is where it meets the line [px]."""
    place = _wide()
    drawn = re.search(r'd="([^"]*)"', marks.infection_band(place, infection, "n"))
    assert drawn is not None
    points = re.findall(r"(-?[\d.]+) (-?[\d.]+)", drawn[1])
    at_line = [float(x) for x, y in points if float(y) == place.line_px]
    return max(at_line) - min(at_line)


@pytest.mark.parametrize("form", FORMS)
def test_leaves_taken_off_stop_at_the_leaf_and_only_what_heals_goes_below(form: Form) -> None:
    place = frame(form, TODAY, 14.0, 20)
    across = 1 if form == "wide" else 0
    leaves, oil, spray = (replace(each, on=TODAY) for each in remedies())

    ends = [marks.remedy_ends(place, each)[1][across] for each in (leaves, oil, spray, CUT_DOWN)]
    assert all(end <= place.line_px for end in ends[:2])
    assert ends[2] == ends[3] == pytest.approx(place.at(0, place.deepest_d)[across])


def test_a_shield_lies_over_the_days_on_which_it_keeps_rust_out_and_is_dashed_ahead() -> None:
    place, inks = _wide(), palette("print")
    shield = RemedyMark(TODAY - timedelta(days=4), "oil", "oil", TODAY + timedelta(days=6), False)
    now_d = place.along(TODAY, 0.0)

    drawn = marks.remedy_shield(place, inks, shield, now_d)
    lived, ahead = [each for each in drawn.split("<path") if "dasharray" not in each], drawn.count("dasharray")
    assert ahead == 2
    assert _ends(lived[-1])[0] == pytest.approx(place.at(now_d, 0)[0], abs=0.1)
    assert marks.remedy_shield(place, inks, replace(shield, until=None), now_d) == ""


@pytest.mark.parametrize("form", FORMS)
def test_what_was_done_is_named_and_explained_in_the_figure(form: Form) -> None:
    words = [each.text for each in _drawn(TREATED[0], form).iter(f"{SVG}text")]

    assert {"oil", "spray"} <= set(words)
    assert {"leaves off: stops at the leaf", "keeps rust out", "heals: reaches below"} <= set(words)
    assert "keeps rust out" not in [each.text for each in _drawn(QUAY, form).iter(f"{SVG}text")]
