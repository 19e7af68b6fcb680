"""The page as plain text, 80 columns, for a tired gardener: what matters, what to do, why, the numbers, the sources."""

import textwrap
from functools import singledispatch

from abaxial.report.blocks import Actions, Block, Caution, Figure, Line, Notes, Page, Reasons, Section, Sources, Table
from abaxial.report.figures.leaf_strip import leaf_strip

WIDTH = 80
#: plantings told in full; the others stand in the table
MOST_SECTIONS = 3


def page_text(page: Page) -> str:
    """A page as text of at most 80 columns, without colour or control characters."""
    parts = [f"{page.title.upper()}\n{page.kicker}"]
    parts += [_text(block) for block in page.head]
    parts += [_section_text(section) for section in page.sections[:MOST_SECTIONS]]
    left = len(page.sections) - MOST_SECTIONS
    if left > 0:
        parts.append(_wrapped(f"{left} more in the table above; the page (--out week.html) shows each in full."))
    parts += [_text(block) for block in page.tail]
    return printable("\n\n".join(part for part in parts if part)) + "\n"


def printable(text: str) -> str:
    """The text without control characters, which a hostile name could use to move the cursor."""
    return "".join(char for char in text if char == "\n" or char.isprintable())


def _section_text(section: Section) -> str:
    rule = "─" * WIDTH
    blocks = [block for block in section.blocks if not (isinstance(block, Table) and block.detail)]
    return "\n\n".join([f"{rule}\n{_wrapped(section.title)}", *(_text(block) for block in blocks)])


@singledispatch
def _text(block: Block) -> str:
    raise TypeError(f"no way to print a {type(block).__name__}")


@_text.register
def _(block: Line) -> str:
    return _wrapped(block.text)


@_text.register
def _(block: Figure) -> str:
    return f"{leaf_strip(block.planting, block.today)}\n{_wrapped(block.text)}"


@_text.register
def _(block: Actions) -> str:
    lines = [block.title.upper()]
    for number, item in enumerate(block.items, start=1):
        lines += [_hanging(f"{number}. ", f"{item.what}. {item.when}."), _hanging("   ", item.why)]
    return "\n".join(lines) if block.items else f"{block.title.upper()}\nNothing this week."


@_text.register
def _(block: Reasons | Notes | Caution) -> str:
    return "\n".join([block.title.upper(), *(_hanging("– ", item) for item in block.items)])


@_text.register
def _(block: Sources) -> str:
    papers = [_hanging("– ", item) for item in block.items]
    made = [_hanging("  ", f"{name}: {value}") for name, value in block.made_from]
    return "\n".join([block.title.upper(), *papers, "Made from", *made])


@_text.register
def _(block: Table) -> str:
    rows = [(row.head, *row.cells) for row in block.rows]
    widths = _column_widths([block.columns, *rows])
    lines = [_wrapped(block.caption.upper())]
    for row in (block.columns, *rows):
        cells = [textwrap.wrap(printable(cell), width) or [""] for cell, width in zip(row, widths, strict=True)]
        for line in range(max(len(cell) for cell in cells)):
            parts = [
                (cell[line] if line < len(cell) else "").ljust(width) for cell, width in zip(cells, widths, strict=True)
            ]
            lines.append("  ".join(parts).rstrip())
        if row is block.columns:
            lines.append("  ".join("─" * width for width in widths))
    return "\n".join([*lines, _wrapped(block.note)] if block.note else lines)


def _column_widths(rows: list[tuple[str, ...]]) -> list[int]:
    """Column widths that fit the page: what the cells ask for, the widest giving way first."""
    widths = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    room = WIDTH - 2 * (len(widths) - 1)
    while sum(widths) > room:
        widths[widths.index(max(widths))] -= 1
    return widths


def _wrapped(text: str) -> str:
    return textwrap.fill(printable(text), WIDTH)


def _hanging(mark: str, text: str) -> str:
    return textwrap.fill(
        printable(text), WIDTH, initial_indent=mark, subsequent_indent=" " * len(mark), break_long_words=True
    )
