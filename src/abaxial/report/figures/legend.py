"""The words under a leaf line that say how to read it."""

from abaxial.report.figures.frame import Frame
from abaxial.report.figures.palette import Palette
from abaxial.report.figures.svg import element, words

_WIDE = ("Depth below the line is days until it shows; size is how much got in, if spores were about.",)
_WIDE_ABOVE = (
    "Height above the line is how much you can see. Depth below it is days until it shows;",
    "size is how much got in, if spores were about.",
)
_UPRIGHT = (
    "Time runs down. How far right is",
    "days until it shows; size is how",
    "much got in, if spores were about.",
)
_UPRIGHT_ABOVE = (
    "Time runs down. How far left is how",
    "much you can see. How far right is",
    *_UPRIGHT[1:],
)


def legend_height_px(place: Frame, *, remedies: bool = False) -> float:
    """Height the legend asks for [px]. remedies : whether any are drawn."""
    more = (place.letter_px * 1.5 + 2 if place.form == "wide" else place.letter_px * 4.5) if remedies else 0.0
    if place.form == "wide":
        return (106.0 if place.above_px else 62.0) + more
    return (296.0 if place.above_px else 200.0) + more


def legend(place: Frame, inks: Palette, name: str, *, remedies: bool = False) -> str:
    """Each mark with its word, then how height, depth and size are to be read."""
    step, top = place.letter_px * 1.5, place.height_px + 8
    wide = place.form == "wide"
    left = 74.0 if wide else 8.0
    rows = [_seen_keys(inks, name), _keys(inks, name)] if place.above_px else [_keys(inks, name)]
    if remedies:
        rows.append(_remedy_keys(inks))
    parts = []
    y = top + 10
    for keys in rows:
        x = left
        for draw, word in keys:
            parts.append(element("g", draw, transform=f"translate({x:.1f} {y:.1f})"))
            parts.append(_word(inks, x + 32, y + 5, word))
            if wide:
                x += 32 + 0.5 * place.letter_px * len(word) + 22
            else:
                y += step
        if wide:
            y += step + 2
    lines = (_WIDE_ABOVE if place.above_px else _WIDE) if wide else (_UPRIGHT_ABOVE if place.above_px else _UPRIGHT)
    y += 7 if wide else 12
    parts += [_word(inks, left, y + step * number, line) for number, line in enumerate(lines)]
    return "".join(parts)


def _seen_keys(inks: Palette, name: str) -> tuple[tuple[str, str], ...]:
    """The marks that stand above the line."""
    area = element("path", d="M0 7V0L24 -6V7Z", style=f"fill:{inks.showing};opacity:.85")
    pale = element("path", d="M0 0V-5L24 -9V-6Z", style=f"fill:{inks.showing};opacity:.24")
    hatch = element("rect", x=0, y=-7, width=24, height=14, style=f"fill:url(#{name}-seen);opacity:.85")
    ring_style = f"fill:{inks.paper};stroke:{inks.ink};stroke-width:1.7"
    whisker = element("path", d="M12 -9V9", style=f"stroke:{inks.ink};stroke-width:1.4")
    ring = element("circle", cx=12, cy=0, r=4.2, style=ring_style)
    return (
        (pale + area, "shows, with its doubt"),
        (hatch, "would show, nothing done"),
        (whisker + ring, "seen on a walk"),
    )


def _keys(inks: Palette, name: str) -> tuple[tuple[str, str], ...]:
    """Each small drawing, around a point of its own, with its word."""
    wet_style = f"stroke:{inks.wet};stroke-width:3.2;stroke-linecap:round"
    wet = element("path", d="M4 -8V8M12 -8V3M20 -8V6", style=wet_style)
    dot = element("circle", cx=3, cy=0, r=3.5, style=f"fill:{inks.latent}")
    dots = element("rect", x=8, y=-7, width=16, height=14, style=f"fill:url(#{name}-dots)")
    hatch = element("rect", x=0, y=-7, width=24, height=14, style=f"fill:url(#{name}-hatch)")
    open_style = f"fill:{inks.paper};stroke:{inks.showing};stroke-width:2"
    diamond = element("path", d="M12 -6.5L18.5 0L12 6.5L5.5 0Z", style=open_style)
    return (
        (wet, "wet leaves"),
        (dot + dots, "in the leaf, hidden"),
        (hatch, "still to come"),
        (diamond, "should show"),
    )


def _remedy_keys(inks: Palette) -> tuple[tuple[str, str], ...]:
    """The marks of what was done, each as far as it reaches."""
    cut = f"fill:none;stroke:{inks.ink};stroke-width:2.2"
    leaf = element("path", d="M0 3H24", style=f"stroke:{inks.leaf};stroke-width:3.5;stroke-linecap:round")
    off = element("path", d="M12 -9V0M6 0H18", style=cut)
    shield = element("path", d="M2 -3H24M2 -6.5H24", style=f"fill:none;stroke:{inks.ink};stroke-width:1.5")
    deep = element("path", d="M12 -9V11M6 11H18", style=cut)
    return (
        (leaf + off, "leaves off: stops at the leaf"),
        (leaf + shield, "keeps rust out"),
        (leaf + deep, "heals: reaches below"),
    )


def _word(inks: Palette, x: float, y: float, word: str) -> str:
    return element("text", words(word), x=x, y=y, style=f"fill:{inks.muted}")
