"""How high is how much: the marks that say what height above the leaf stands for, and how much hides today."""

from abaxial.report.answers.week import Estimate
from abaxial.report.figures.frame import Frame
from abaxial.report.figures.labels import Label, label_text
from abaxial.report.figures.palette import Palette
from abaxial.report.figures.seen import Height
from abaxial.report.figures.svg import element, path
from abaxial.report.words.seen.shares import percent_short

_OF_WIDE = {"leaves": "of leaves show rust", "area": "of leaf area shows rust"}
_OF_UPRIGHT = {"leaves": "of leaves", "area": "of leaf area"}


def scale(place: Frame, inks: Palette, height: Height) -> str:
    """Hairlines at the top and at half of it, with their shares and what they are shares of."""
    parts = []
    for part in (1.0, 0.5):
        off_px = -part * place.above_px
        ends = [place.at(0, 0, off_px=off_px), place.at(place.days, 0, off_px=off_px)]
        parts.append(element("path", d=path(ends), style=f"stroke:{inks.hairline};stroke-width:1"))
    return "".join([*parts, *(label_text(inks, each, muted=True) for each in scale_labels(place, height))])


def scale_labels(place: Frame, height: Height) -> list[Label]:
    """The shares beside the hairlines, and what they are shares of."""
    labels, shift = [], 0.35 * place.letter_px
    for part in (1.0, 0.5):
        x, y = place.at(0, 0, off_px=-part * place.above_px)
        share = f"{100 * part * height.top_frac:g} %"
        if place.form == "wide":
            labels.append(Label(x - 10, y + shift, "end", share))
        elif part == 1.0:
            labels.append(Label(x, y - 8, "middle", share))
    if place.form == "upright":
        return [*labels, Label(8.0, 18.0, "start", _OF_UPRIGHT[height.of])]
    x, y = place.at(0, 0, off_px=-place.above_px)
    return [*labels, Label(x, y - 6, "start", _OF_WIDE[height.of])]


def hidden_label(place: Frame, estimate: Estimate, now_d: float) -> Label:
    """How much of the leaf area is hidden today, at the deep end of today's line."""
    share = percent_short(estimate.latent_frac)
    x, y = place.at(now_d, place.deepest_d, off_px=12)
    if place.form == "wide":
        return Label(x + 8, y, "start", f"{share} of leaf area hidden today")
    return Label(place.width_px - 4, y - 6, "end", f"{share} hidden today")
