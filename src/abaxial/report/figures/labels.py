"""Labels that do not lie on each other: each tries a few places and takes the first that is free."""

from dataclasses import dataclass

from abaxial.report.figures.palette import Palette
from abaxial.report.figures.svg import element, words

Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class Label:
    """Words that want to stand near a point. anchor : "start", "middle" or "end", as in SVG."""

    x: float
    y: float
    anchor: str
    words: str


def text_width_px(words: str, letter_px: float) -> float:
    """A careful guess of the width of words in our face [px]."""
    return 0.57 * letter_px * len(words)


def label_box(label: Label, letter_px: float) -> Box:
    """Left, top, right, bottom of a label [px]; y is its baseline."""
    width = text_width_px(label.words, letter_px)
    left = {"start": label.x, "middle": label.x - width / 2, "end": label.x - width}[label.anchor]
    return (left, label.y - 0.8 * letter_px, left + width, label.y + 0.25 * letter_px)


def place_near(
    point: tuple[float, float], words: str, letter_px: float, taken: list[Box], limits: Box, *, above: bool = False
) -> Label | None:
    """The first free place around a point: below, left, right, above; None if there is none.

    taken : boxes already used; the caller adds the new one. limits : the box to stay within. above : whether it is best
    above the point.
    """
    x, y = point
    gap, drop = 0.75 * letter_px, 1.5 * letter_px
    over = (
        Label(x, y - 4, "middle", words),
        Label(x - 4, y + 0.35 * letter_px, "end", words),
        Label(x + 4, y + 0.35 * letter_px, "start", words),
        Label(x, y - 4 - 1.3 * letter_px, "middle", words),
    )
    tries = (
        over
        if above
        else (
            Label(x, y + drop, "middle", words),
            Label(x - gap, y + 0.35 * letter_px, "end", words),
            Label(x + gap, y + drop, "start", words),
            Label(x + gap, y + 0.35 * letter_px, "start", words),
            Label(x - gap, y + drop, "end", words),
            Label(x, y - 0.9 * letter_px, "middle", words),
            Label(x + gap, y - 0.6 * letter_px, "start", words),
        )
    )
    for label in tries:
        box = label_box(label, letter_px)
        inside = limits[0] <= box[0] and limits[1] <= box[1] and box[2] <= limits[2] and box[3] <= limits[3]
        if inside and not any(overlap(box, other) for other in taken):
            return label
    return None


def overlap(one: Box, other: Box) -> bool:
    """True if two boxes share more than an edge."""
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def label_text(inks: Palette, label: Label, *, bold: bool = False, muted: bool = False) -> str:
    """A label as SVG text, with a rim of paper that keeps its letters readable where they cross a mark."""
    weight = ";font-weight:700" if bold else ""
    rim = f";stroke:{inks.paper};stroke-width:4;stroke-linejoin:round;paint-order:stroke"
    style = f"fill:{inks.muted if muted else inks.ink}{rim}{weight}"
    return element("text", words(label.words), x=label.x, y=label.y, text_anchor=label.anchor, style=style)
