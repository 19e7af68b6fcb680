"""Where things stand in a leaf line: days along the leaf, depth below it, height above it, wide or upright."""

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

Form = Literal["wide", "upright"]
Point = tuple[float, float]


@dataclass(frozen=True)
class Frame:
    """The geometry of one drawing.

    first : the first day shown. days : how many. start_px, line_px : where the days begin along the leaf, and where the
    leaf lies across it. day_px, depth_px : pixels for a day along, and for a day of depth. deepest_d : depth shown [d].
    width_px, height_px : of the drawing without its legend. letter_px : size of the letters. above_px : room above the
    leaf for what shows; 0 where nothing is known of it.
    """

    form: Form
    first: date
    days: int
    start_px: float
    line_px: float
    day_px: float
    depth_px: float
    deepest_d: float
    width_px: float
    height_px: float
    letter_px: float
    above_px: float = 0.0

    def along(self, day: date, part: float = 0.5) -> float:
        """Days from the beginning of the first day to a day; part 0 is its beginning, 1 its end."""
        return (day - self.first).days + part

    def at(self, along_d: float, depth_d: float, *, off_px: float = 0.0) -> Point:
        """The point at some days along and some days deep; off_px pushes it further from the leaf, negative above."""
        along_px = self.start_px + along_d * self.day_px
        across_px = self.line_px + depth_d * self.depth_px + off_px
        return (along_px, across_px) if self.form == "wide" else (across_px, along_px)

    @property
    def last(self) -> date:
        """The last day shown."""
        return self.first + timedelta(days=self.days - 1)


def frame(form: Form, today: date, deepest_d: float, ahead_d: int, *, above_px: float = 0.0) -> Frame:
    """The frame around today. deepest_d : the longest way to showing [d]. ahead_d : days to show ahead [d].

    Wide: up to seven weeks on 860 pixels. Upright: four weeks on 328 pixels, letters of 16 pixels.
    """
    if form == "wide":
        past, ahead = 24, min(max(ahead_d, 14), 27)
        deepest = min(max(deepest_d, 10.0), 30.0)
        days, line_px = past + ahead, 62 + above_px
        size = (860, 316 + above_px, 14.5)
        return Frame(
            form, today - timedelta(days=past), days, 74, line_px, 776 / days, 190 / deepest, deepest, *size, above_px
        )
    past, ahead = 14, 15
    deepest, line_px = min(max(deepest_d, 10.0), 24.0), max(100.0, 70 + above_px)
    return Frame(
        form, today - timedelta(days=past), past + ahead, 52, line_px, 21, (304 - line_px) / deepest, deepest,
        328, 674, 16, above_px,
    )  # fmt: skip
