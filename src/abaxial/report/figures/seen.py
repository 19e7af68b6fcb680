"""What shows, above the leaf: how much is there by our reckoning, what each walk found, what is still to come."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from abaxial.report.answers.week import Band, DayEstimate, Estimate, Look
from abaxial.report.figures.frame import Form, Frame, Point
from abaxial.report.figures.palette import Palette
from abaxial.report.figures.svg import element, path

#: room above the leaf [px]
ABOVE_PX: dict[Form, float] = {"wide": 84.0, "upright": 70.0}
_RING_PX, _UNCOUNTED_PX = 4.2, 13.0
_TOPS_FRAC = (0.005, 0.01, 0.02, 0.03, 0.04, 0.05, 0.06, 0.08, 0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0)
#: where what may come is so doubtful that all else would lie flat, the drawing cuts it at so many times the rest
_CUT_FACTOR = 1.6


@dataclass(frozen=True)
class Height:
    """How height is to be read. of : the share of leaves or of leaf area that shows. top_frac : at the top, 0 to 1."""

    of: Literal["leaves", "area"]
    top_frac: float


def height_of(estimate: Estimate, place: Frame) -> Height:
    """The measure that the looks were made in, leaves where any were counted, and a round share that holds all of it."""
    of: Literal["leaves", "area"] = "leaves" if any(each.incidence for each in estimate.looks) else "area"
    shown = [each for each in estimate.days if place.first <= each.day <= place.last]
    looks = [each for each in estimate.looks if place.first <= each.on <= place.last]
    known = [_share(each, of).high for each in shown if not each.ahead]
    known += [_share(each, of).mid for each in shown if each.ahead]
    known += [found.high for each in looks if (found := _found(each, of))]
    most = max(known, default=0.0)
    may_come = max((_share(each, of).high for each in shown if each.ahead), default=0.0)
    most = max(most, min(may_come, _CUT_FACTOR * most))
    return Height(of, next((top for top in _TOPS_FRAC if top >= most), 1.0))


def shows_area(place: Frame, inks: Palette, days: Sequence[DayEstimate], height: Height, name: str) -> str:
    """Solid up to the middle of what showed until now, and paler up to where nine in ten of the doubt ends."""
    shown = _shown(place, days)
    if len(shown) < 2:
        return ""
    leaf = [place.at(place.along(each.day), 0) for each in (shown[-1], shown[0])]
    past = f"url(#{name}-past)"
    pale = element(
        "path",
        d=path([*_edge(place, shown, height, "high"), *leaf], closed=True),
        style=f"fill:{inks.showing};opacity:.24",
        clip_path=past,
    )
    solid = element(
        "path",
        d=path([*_edge(place, shown, height, "mid"), *leaf], closed=True),
        style=f"fill:{inks.showing};opacity:.85",
        clip_path=past,
    )
    return pale + solid


def shows_ahead(place: Frame, inks: Palette, days: Sequence[DayEstimate], height: Height, name: str) -> str:
    """A hatched band for what would show in the days ahead with nothing done, with its middle."""
    shown = _shown(place, days)
    if len(shown) < 2:
        return ""
    outline = path([*_edge(place, shown, height, "high"), *reversed(_edge(place, shown, height, "low"))], closed=True)
    ahead = f"url(#{name}-ahead)"
    band = element("path", d=outline, style=f"fill:url(#{name}-seen);opacity:.85", clip_path=ahead)
    line = f"fill:none;stroke:{inks.showing};stroke-width:2;stroke-dasharray:5 3"
    return band + element("path", d=path(_edge(place, shown, height, "mid")), style=line, clip_path=ahead)


def look_mark(place: Frame, inks: Palette, look: Look, height: Height) -> str:
    """A ring at what a look found, with a whisker as long as that look's own doubt; on the leaf where it found nothing,
    and dotted, a little above it, where rust was seen and not counted."""
    if not place.first <= look.on <= place.last:
        return ""
    along, found = place.along(look.on), _found(look, height.of)
    style = f"fill:{inks.paper};stroke:{inks.ink};stroke-width:1.7"
    if found is None:
        nothing = look.amount == "none" or look.rusted == 0
        x, y = place.at(along, 0, off_px=0.0 if nothing else -_UNCOUNTED_PX)
        dots = "" if nothing else ";stroke-dasharray:2 1.6"
        return element("circle", cx=x, cy=y, r=_RING_PX, style=style + dots)
    ends = [_at(place, along, share, height) for share in (found.low, found.high)]
    whisker = element("path", d=path(ends), style=f"stroke:{inks.ink};stroke-width:1.4")
    x, y = _at(place, along, found.mid, height)
    return whisker + element("circle", cx=x, cy=y, r=_RING_PX, style=style)


def _found(look: Look, of: str) -> Band | None:
    """What a look found, in the measure of the drawing; None where it did not measure that."""
    if of == "area":
        return None if look.severity_frac is None else Band(*[look.severity_frac] * 3)
    if look.incidence is None:
        return None
    if look.turned and look.rusted is not None:
        return replace(look.incidence, mid=look.rusted / look.turned)
    return look.incidence


def _share(day: DayEstimate, of: str) -> Band:
    return day.incidence_frac if of == "leaves" else day.showing_frac


def _shown(place: Frame, days: Sequence[DayEstimate]) -> list[DayEstimate]:
    return sorted((each for each in days if place.first <= each.day <= place.last), key=lambda each: each.day)


def _edge(place: Frame, days: Sequence[DayEstimate], height: Height, edge: str) -> list[Point]:
    return [_at(place, place.along(each.day), getattr(_share(each, height.of), edge), height) for each in days]


def _at(place: Frame, along_d: float, share_frac: float, height: Height) -> Point:
    return place.at(along_d, 0, off_px=-place.above_px * min(max(share_frac, 0.0) / height.top_frac, 1.0))
