"""Elements of a drawing as text: attributes rounded and escaped, nothing else."""

from xml.sax.saxutils import escape, quoteattr

Attribute = str | float


def element(name: str, *children: str, **attributes: Attribute) -> str:
    """An SVG element. Underscores in attribute names become hyphens; numbers are rounded to a tenth of a pixel.
    children are SVG already: pass words through `words`."""
    told = "".join(
        f" {key.rstrip('_').replace('_', '-')}={quoteattr(_told(value))}" for key, value in attributes.items()
    )
    inside = "".join(children)
    return f"<{name}{told}>{inside}</{name}>" if inside else f"<{name}{told}/>"


def words(text: str) -> str:
    """Text made safe to stand inside an element; control characters, which XML forbids, are left out."""
    return escape("".join(char for char in text if char.isprintable()))


def path(points: list[tuple[float, float]], *, closed: bool = False) -> str:
    """Path commands through points."""
    steps = " L".join(f"{_told(x)} {_told(y)}" for x, y in points)
    return f"M{steps}{'Z' if closed else ''}"


def _told(value: Attribute) -> str:
    return value if isinstance(value, str) else f"{value:.1f}".removesuffix(".0")
