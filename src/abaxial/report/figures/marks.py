"""The marks of the leaf line: wet nights that hang from it, infections that rise to it, and what cuts across both."""

from abaxial.report.answers.week import Infection, Night, RemedyMark
from abaxial.report.figures.frame import Frame, Point
from abaxial.report.figures.palette import Palette
from abaxial.report.figures.svg import element, path

_LONGEST_STROKE_PX, _DAY_H, _SHORTEST_WET_H = 26.0, 24.0, 3.0
_CUT_PX, _FOOT_PX, _FOOT_OFF_PX = 26.0, 6.0, 3.0
_SHIELD_PX = (6.0, 9.5)
_LARGEST_DOT_PX, _SMALLEST_DOT_PX = 9.0, 2.2


def defs(frame: Frame, inks: Palette, name: str, now_d: float) -> str:
    """Stipple for what is hidden, hatching for what is forecast, and the two halves of the drawing around now."""
    dots = [element("circle", cx=at, cy=at, r=0.9, style=f"fill:{inks.latent}") for at in (1.4, 3.9)]
    stipple = element("pattern", *dots, id=f"{name}-dots", width=5, height=5, patternUnits="userSpaceOnUse")
    past = element("clipPath", _rectangle(frame, 0.0, now_d), id=f"{name}-past")
    ahead = element("clipPath", _rectangle(frame, now_d, float(frame.days)), id=f"{name}-ahead")
    hatches = (_hatch(f"{name}-hatch", inks.latent, 45), _hatch(f"{name}-seen", inks.showing, -45))
    return element("defs", stipple, *hatches, past, ahead)


def _hatch(name: str, ink: str, turned_deg: float) -> str:
    stroke = element("path", d="M0 0V6", style=f"stroke:{ink};stroke-width:1.1")
    turned = f"rotate({turned_deg:g})"
    return element(
        "pattern", stroke, id=name, width=6, height=6, patternUnits="userSpaceOnUse", patternTransform=turned
    )


def wet_stroke(frame: Frame, inks: Palette, night: Night) -> str:
    """A stroke hanging from the leaf, as long as the low leaves were wet; dashed where it is only forecast."""
    wet_h = night.wet_h_lower.mid
    if not wet_h >= _SHORTEST_WET_H:
        return ""
    along = frame.along(night.day)
    ends = [frame.at(along, 0, off_px=5), frame.at(along, 0, off_px=5 + _LONGEST_STROKE_PX * min(wet_h / _DAY_H, 1))]
    dash = ";stroke-dasharray:2.5 2.5" if night.ahead else ";stroke-linecap:round"
    return element("path", d=path(ends), style=f"stroke:{inks.wet};stroke-width:3.2{dash}")


def infection_band(frame: Frame, infection: Infection, name: str) -> str:
    """The band in which an infection rises, stippled until now and hatched ahead."""
    fast, slow = _way(frame, infection, "high"), _way(frame, infection, "low")
    end = frame.at(frame.along(infection.night) + len(infection.rise) - 1, 0)
    # where the slow edge never reaches the leaf, the band ends with the outlook instead
    corner = [end] if infection.rise[-1].low < 1.0 <= infection.rise[-1].high else []
    outline = path([*fast, *corner, *reversed(slow)], closed=True)
    return element("path", d=outline, style=f"fill:url(#{name}-dots)", clip_path=f"url(#{name}-past)") + element(
        "path", d=outline, style=f"fill:url(#{name}-hatch);opacity:.8", clip_path=f"url(#{name}-ahead)"
    )


def infection_way(frame: Frame, inks: Palette, infection: Infection, name: str, now_d: float, *, faint: bool) -> str:
    """The middle way of an infection from its night to the leaf, and a dot as large as what got in; a night still to
    come has an open dot."""
    d, width, opacity = path(_way(frame, infection, "mid")), (1.1 if faint else 1.8), (0.5 if faint else 1.0)
    style = f"fill:none;stroke:{inks.latent};stroke-width:{width};opacity:{opacity}"
    ways = element("path", d=d, style=style, clip_path=f"url(#{name}-past)") + element(
        "path", d=d, style=f"{style};stroke-dasharray:5 3", clip_path=f"url(#{name}-ahead)"
    )
    x, y = dot_point(frame, infection)
    if frame.along(infection.night) < 0:
        return ways
    fill = f"fill:{inks.latent};opacity:{opacity}"
    if frame.along(infection.night) >= now_d:
        fill = f"fill:{inks.paper};stroke:{inks.latent};stroke-width:1.4;opacity:{opacity}"
    return ways + element("circle", cx=x, cy=y, r=dot_radius_px(infection), style=fill)


def showing_mark(frame: Frame, inks: Palette, infection: Infection) -> str:
    """A small open diamond on the leaf, on the day it should show."""
    along = frame.along(infection.showing.mid)
    if not 0 <= along < frame.days:
        return ""
    x, y = frame.at(along, 0)
    diamond = path([(x, y - 6.5), (x + 6.5, y), (x, y + 6.5), (x - 6.5, y)], closed=True)
    return element("path", d=diamond, style=f"fill:{inks.paper};stroke:{inks.showing};stroke-width:2")


def remedy_cut(frame: Frame, inks: Palette, remedy: RemedyMark) -> str:
    """A cut that reaches as far as the remedy does: leaves taken off stop at the leaf, what heals goes below it."""
    top, foot = remedy_ends(frame, remedy)
    rim = element("path", d=path([top, foot]), style=f"stroke:{inks.paper};stroke-width:5")
    cut = element("path", d=path([top, foot]), style=f"stroke:{inks.ink};stroke-width:2.2")
    if remedy.until is not None and not remedy.cures:
        return rim + cut
    # a foot where the cut ends, so that one sees that it ends there
    along, depth = frame.along(remedy.on), frame.deepest_d if remedy.cures else 0.0
    off_px = 0.0 if remedy.cures else -_FOOT_OFF_PX
    ends = [frame.at(along - _FOOT_PX / frame.day_px * side, depth, off_px=off_px) for side in (1, -1)]
    return rim + cut + element("path", d=path(ends), style=f"stroke:{inks.ink};stroke-width:2.2")


def remedy_shield(frame: Frame, inks: Palette, remedy: RemedyMark, now_d: float) -> str:
    """A double line over the leaf for the days on which rust is kept out; dashed where they are still to come."""
    if remedy.until is None:
        return ""
    begin = max(frame.along(remedy.on), 0.0)
    end = min(frame.along(remedy.until), float(frame.days))
    middle_px = sum(_SHIELD_PX) / 2
    under = [frame.at(each, 0, off_px=-middle_px) for each in (begin, end)]
    parts = [element("path", d=path(under), style=f"stroke:{inks.paper};stroke-width:8")]
    for low, high, dash in ((begin, min(end, now_d), ""), (max(begin, now_d), end, ";stroke-dasharray:5 3")):
        for off_px in _SHIELD_PX if high > low else ():
            ends = [frame.at(low, 0, off_px=-off_px), frame.at(high, 0, off_px=-off_px)]
            parts.append(element("path", d=path(ends), style=f"stroke:{inks.ink};stroke-width:1.5{dash}"))
    return "".join(parts)


def remedy_ends(frame: Frame, remedy: RemedyMark) -> tuple[Point, Point]:
    """Where a remedy's cut begins above the leaf and where it ends."""
    along = frame.along(remedy.on)
    above_px = _CUT_PX + 0.25 * frame.above_px
    if remedy.cures:
        return frame.at(along, 0, off_px=-above_px), frame.at(along, frame.deepest_d)
    stop_px = _SHIELD_PX[0] if remedy.until is not None else _FOOT_OFF_PX
    return frame.at(along, 0, off_px=-above_px), frame.at(along, 0, off_px=-stop_px)


def dot_point(frame: Frame, infection: Infection) -> Point:
    """Where an infection begins: on its night, as deep as its days until showing."""
    return frame.at(frame.along(infection.night), min(way_d(infection), frame.deepest_d))


def dot_radius_px(infection: Infection) -> float:
    """Radius of its dot [px]: the area is how much got in."""
    return float(max(_LARGEST_DOT_PX * infection.infection_frac.mid**0.5, _SMALLEST_DOT_PX))


def way_d(infection: Infection) -> float:
    """Days from the night until it should show [d], at least one."""
    return float(max((infection.showing.mid - infection.night).days, 1))


def _way(frame: Frame, infection: Infection, edge: str) -> list[Point]:
    """Points from the night to the leaf along one edge of the band: depth is the share still to come, in days."""
    deep, begin = way_d(infection), frame.along(infection.night)
    points, before = [], 0.0
    for day, band in enumerate(infection.rise):
        progress = getattr(band, edge)
        if progress >= 1.0:
            part = (1.0 - before) / (progress - before) if progress > before and day else 0.0
            points.append(frame.at(begin + max(day - 1 + part, 0.0), 0))
            break
        points.append(frame.at(begin + day, min((1.0 - progress) * deep, frame.deepest_d)))
        before = progress
    return points


def _rectangle(frame: Frame, from_d: float, to_d: float) -> str:
    (x0, y0), (x1, y1) = (
        frame.at(from_d, 0, off_px=-60 - frame.above_px),
        frame.at(to_d, frame.deepest_d, off_px=20),
    )
    return element("rect", x=x0, y=y0, width=max(x1 - x0, 0.0), height=max(y1 - y0, 0.0))
