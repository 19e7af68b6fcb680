"""The leaf line: what is in the leaf and not yet showing below a line that stands for the leaf, what shows above it."""

from collections.abc import Sequence
from datetime import date, timedelta

from abaxial.report.answers.week import Estimate, Infection, PlantingWeek, RemedyMark
from abaxial.report.figures import marks, scale, seen
from abaxial.report.figures.frame import Form, Frame, Point, frame
from abaxial.report.figures.labels import Box, Label, label_box, label_text, place_near
from abaxial.report.figures.legend import legend, legend_height_px
from abaxial.report.figures.palette import Palette, Theme, palette
from abaxial.report.figures.svg import element, path, words
from abaxial.report.words.dates import short_day, short_span
from abaxial.report.words.plan.steps import short_words

#: infections drawn as bands; the rest are thin lines, so that a long wet spell can still be read
MOST_BANDS = 4
_LEAST_CHANCE_FRAC, _LEAST_SHARE_FRAC, _HIDDEN_FRAC = 0.1, 0.01, 0.02


def leaf_line_svg(
    planting: PlantingWeek,
    today: date,
    text: str,
    *,
    form: Form = "wide",
    theme: Theme = "screen",
    name: str = "leaf-line",
) -> str:
    """The leaf line of a planting as an SVG element.

    text : its equivalent in words. form : "wide" for laptop and paper, "upright" for a phone. theme : "screen",
    "print", or "alone" for a picture with its own paper. name : begins every id inside, so that many figures can stand on one page.
    """
    drawn = drawn_infections(planting)
    deepest = max((marks.way_d(each) for each in drawn[:MOST_BANDS]), default=14.0)
    ahead = max(((each.showing.high - today).days for each in drawn[:MOST_BANDS]), default=14)
    above_px = seen.ABOVE_PX[form] if planting.estimate else 0.0
    place, inks = frame(form, today, deepest, ahead + 2, above_px=above_px), palette(theme)
    head = (
        element("title", words(f"Leaf line: {planting.planting}, {planting.bed}"), id=f"{name}-t"),
        element("desc", words(text), id=f"{name}-d"),
    )
    height = place.height_px + legend_height_px(place, remedies=bool(_shown(planting, place)))
    sheet = element("rect", width=place.width_px, height=height, style=f"fill:{inks.paper}") if theme == "alone" else ""
    return element(
        "svg",
        *head,
        sheet,
        *_parts(planting, today, place, inks, name),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {place.width_px:g} {height:g}",
        role="img",
        aria_labelledby=f"{name}-t {name}-d",
        class_=form,
        font_family="Atkinson Hyperlegible, sans-serif",
        font_size=place.letter_px,
    )


def _parts(planting: PlantingWeek, today: date, place: Frame, inks: Palette, name: str) -> list[str]:
    """Everything drawn, from the back to the front."""
    # what would begin in the last days shown has no room to rise
    end = place.last - timedelta(days=2)
    drawn = [each for each in drawn_infections(planting) if each.showing.high >= place.first and each.night <= end]
    bands = [each for each in drawn if each in hidden_infections(planting)][:MOST_BANDS]
    now_d = place.along(today, 0.0)
    remedies = _shown(planting, place)
    nights = [each for each in planting.nights if place.first <= each.day <= place.last]
    return [
        marks.defs(place, inks, name, now_d),
        _grid(place, inks),
        _dates(place, inks, today, planting.look_days),
        *_above(planting.estimate, place, inks, name),
        *(marks.infection_way(place, inks, each, name, now_d, faint=True) for each in drawn if each not in bands),
        *(marks.infection_band(place, each, name) for each in bands),
        *(marks.remedy_cut(place, inks, each) for each in remedies if each.on >= place.first),
        *(marks.infection_way(place, inks, each, name, now_d, faint=False) for each in bands),
        *(marks.remedy_shield(place, inks, each, now_d) for each in remedies),
        _leaf(place, inks),
        *(marks.wet_stroke(place, inks, each) for each in nights),
        *(marks.showing_mark(place, inks, each) for each in bands),
        *_looks(planting.estimate, place, inks),
        _today(place, inks, now_d),
        _look(place, inks, planting.look_days),
        *_below_labels(planting.estimate, place, inks, bands, now_d),
        *_remedy_words(planting, place, inks, today),
        "" if drawn else _nothing_hidden(place, inks),
        legend(place, inks, name, remedies=bool(remedies)),
    ]


def drawn_infections(planting: PlantingWeek) -> list[Infection]:
    """The infections worth drawing, those with most still hidden first."""
    worth = (
        each
        for each in planting.infections
        if each.chance_frac >= _LEAST_CHANCE_FRAC and each.infection_frac.mid >= _LEAST_SHARE_FRAC
    )
    return sorted(worth, key=lambda each: (-each.latent_frac.mid * each.infection_frac.mid, each.night))


def hidden_infections(planting: PlantingWeek) -> list[Infection]:
    """Those of them that do not all show yet."""
    return [each for each in drawn_infections(planting) if each.latent_frac.mid > _HIDDEN_FRAC]


def _shown(planting: PlantingWeek, place: Frame) -> list[RemedyMark]:
    """What was done, as far as it reaches into the days shown."""
    reach = ((each, each.until or each.on) for each in planting.remedies)
    return [each for each, last in reach if last >= place.first and each.on <= place.last]


def _remedy_words(planting: PlantingWeek, place: Frame, inks: Palette, today: date) -> list[str]:
    """The word of each remedy at the top of its cut, where there is room for it."""
    labels = [_today_label(place, place.along(today, 0.0)), *_look_labels(place, planting.look_days)]
    if place.form == "upright":
        labels += _date_labels(place, today, planting.look_days)
    if planting.estimate is not None:
        labels += scale.scale_labels(place, seen.height_of(planting.estimate, place))
    taken = [label_box(each, place.letter_px) for each in labels]
    limits = (4.0, 4.0, place.width_px - 2, place.height_px)
    parts = []
    for each in _shown(planting, place):
        if each.on < place.first:
            continue
        top, _ = marks.remedy_ends(place, each)
        near = place_near(top, short_words(each.kind, each.bottle), place.letter_px, taken, limits, above=True)
        if near:
            taken.append(label_box(near, place.letter_px))
            parts.append(label_text(inks, near, bold=True))
    return parts


def _above(estimate: Estimate | None, place: Frame, inks: Palette, name: str) -> list[str]:
    """What shows and what would, with the scale of its height."""
    if estimate is None:
        return []
    height = seen.height_of(estimate, place)
    return [
        scale.scale(place, inks, height),
        seen.shows_area(place, inks, estimate.days, height, name),
        seen.shows_ahead(place, inks, estimate.days, height, name),
    ]


def _looks(estimate: Estimate | None, place: Frame, inks: Palette) -> list[str]:
    if estimate is None:
        return []
    height = seen.height_of(estimate, place)
    return [seen.look_mark(place, inks, each, height) for each in estimate.looks]


def _grid(place: Frame, inks: Palette) -> str:
    """Hairlines at whole weeks of depth, with their days."""
    parts, shift = [], 0.35 * place.letter_px
    for depth in range(7, int(place.deepest_d) + 1, 7):
        ends = [place.at(0, depth), place.at(place.days, depth)]
        parts.append(element("path", d=path(ends), style=f"stroke:{inks.hairline};stroke-width:1"))
        x, y = ends[0]
        label = (
            Label(x - 10, y + shift, "end", f"{depth} days")
            if place.form == "wide"
            else Label(x, y - 8, "middle", str(depth))
        )
        parts.append(label_text(inks, label, muted=True))
    if place.form == "wide":
        x, y = place.at(0, 0)
        parts.append(label_text(inks, Label(x - 10, y + shift, "end", "the leaf"), muted=True))
    if place.form == "upright":
        x, _ = place.at(0, 0)
        parts.append(
            label_text(inks, Label(x + (8 if place.above_px else 0), 18, "start", "days until it shows"), muted=True)
        )
        parts.append(label_text(inks, Label(x, place.start_px - 8, "middle", "0"), muted=True))
    return "".join(parts)


def _dates(place: Frame, inks: Palette, today: date, look: tuple[date, date] | None) -> str:
    """A date every week, counted from today; upright, the words beside the days to look go first."""
    labels = _date_labels(place, today, look)
    ticks = [(each.x, each.y - 14) for each in labels if place.form == "wide"]
    lines = [
        element("path", d=path([(x, y - 8), (x, y - 3)]), style=f"stroke:{inks.muted};stroke-width:1") for x, y in ticks
    ]
    return "".join([*lines, *(label_text(inks, each, muted=True) for each in labels)])


def _date_labels(place: Frame, today: date, look: tuple[date, date] | None) -> list[Label]:
    labels = []
    middle = (place.along(look[0]) + place.along(look[1])) / 2 if look else -9.0
    for offset in range(-28, 29, 7):
        day = today + timedelta(days=offset)
        if not place.first <= day <= place.last:
            continue
        x, y = place.at(place.along(day), place.deepest_d, off_px=34)
        if place.form == "wide":
            anchor = "middle" if x < place.width_px - 30 else "end"
            labels.append(Label(min(x, place.width_px - 2), y + 14, anchor, short_day(day)))
        elif offset != 0 and abs(place.along(day) - middle) > 2:
            labels.append(Label(56, y + 0.35 * place.letter_px, "end", short_day(day)))
    return labels


def _leaf(place: Frame, inks: Palette) -> str:
    ends = path([place.at(0, 0), place.at(place.days, 0)])
    return element("path", d=ends, style=f"stroke:{inks.leaf};stroke-width:4.5;stroke-linecap:round")


def _today(place: Frame, inks: Palette, now_d: float) -> str:
    """Everything after this dotted line is ahead."""
    begin, end = _today_top(place, now_d), place.at(now_d, place.deepest_d, off_px=12)
    line = element("path", d=path([begin, end]), style=f"stroke:{inks.ink};stroke-width:1.3;stroke-dasharray:1.5 3")
    return line + label_text(inks, _today_label(place, now_d), bold=True)


def _today_top(place: Frame, now_d: float) -> Point:
    reach_px = 46 + place.above_px if place.form == "wide" else max(46, 12 + place.above_px)
    return place.at(now_d, 0, off_px=-reach_px)


def _today_label(place: Frame, now_d: float) -> Label:
    x, y = _today_top(place, now_d)
    return Label(x, y - 4, "middle", "today") if place.form == "wide" else Label(50, y + 5, "end", "today")


def _look(place: Frame, inks: Palette, days: tuple[date, date] | None) -> str:
    """A bracket over the two days on which to turn leaves."""
    if days is None or not _within(place, days):
        return ""
    first, last, off_px = place.along(days[0]), place.along(days[1]), _look_off_px(place)
    corners = [
        place.at(first, 0, off_px=-off_px),
        place.at(first, 0, off_px=-off_px - 7),
        place.at(last, 0, off_px=-off_px - 7),
        place.at(last, 0, off_px=-off_px),
    ]
    bracket = element("path", d=path(corners), style=f"fill:none;stroke:{inks.ink};stroke-width:1.6")
    return bracket + "".join(label_text(inks, each, bold=True) for each in _look_labels(place, days))


def _look_labels(place: Frame, days: tuple[date, date] | None) -> list[Label]:
    """The words of the bracket; none where there is none."""
    if days is None or not _within(place, days):
        return []
    first, last, off_px = place.along(days[0]), place.along(days[1]), _look_off_px(place)
    if place.form == "wide":
        x, y = place.at(first, 0, off_px=-off_px - 14)
        return [Label(x, y, "start", f"turn leaves {short_span(*days)}")]
    x, y = place.at((first + last) / 2, 0, off_px=-off_px - 15)
    right = min(x, 78.0 if not place.above_px else 56.0)
    return [Label(right, y + drop, "end", word) for word, drop in (("turn", -3), ("leaves", 15))]


def _look_off_px(place: Frame) -> float:
    # beyond the height of what shows; upright, room is short
    return place.above_px + 7 if place.form == "wide" or not place.above_px else place.above_px + 1


def _within(place: Frame, days: tuple[date, date]) -> bool:
    return place.first <= days[0] <= days[1] <= place.last


def _nothing_hidden(place: Frame, inks: Palette) -> str:
    """The word that stands where there is nothing to draw."""
    x, y = place.at(place.days / 2 if place.form == "wide" else 4, place.deepest_d / 2)
    return label_text(inks, Label(x, y, "middle", "nothing hidden"), muted=True)


def _below_labels(
    estimate: Estimate | None, place: Frame, inks: Palette, bands: Sequence[Infection], now_d: float
) -> list[str]:
    """The date of the night beside each dot, where there is room for it, and how much is hidden today."""
    dots = [(marks.dot_point(place, each), marks.dot_radius_px(each) + 1) for each in bands]
    taken: list[Box] = [(x - r, y - r, x + r, y + r) for (x, y), r in dots]
    limits = (place.width_px * 0.08, 20.0, place.width_px - 2, place.height_px - 8)
    parts = []
    if estimate is not None:
        label = scale.hidden_label(place, estimate, now_d)
        taken.append(label_box(label, place.letter_px))
        parts.append(label_text(inks, label, bold=True))
    for (point, _), infection in zip(dots, bands, strict=True):
        if not place.first <= infection.night <= place.last:
            continue
        near = place_near(point, short_day(infection.night), place.letter_px, taken, limits)
        if near:
            taken.append(label_box(near, place.letter_px))
            parts.append(label_text(inks, near))
    return parts
