"""The page as plain text, 80 columns, for a tired gardener: what matters, what to do, why, the numbers, the sources."""

import textwrap
from functools import singledispatch

from abaxial.report.blocks import (
    Actions,
    Block,
    Caution,
    Figure,
    Line,
    Notes,
    Page,
    Points,
    Precautions,
    Reasons,
    Row,
    Section,
    Sheet,
    Sources,
    Steps,
    Table,
)
from abaxial.report.figures.leaf_strip import leaf_strip

WIDTH = 80
#: reasons and doubts told here; the page has them all
MOST_REASONS, MOST_DOUBTS = 4, 6
#: lines a cell of a table, or what the page was made from, may take
MOST_LINES = 2


def page_text(page: Page) -> str:
    """A page as text of at most 80 columns, without colour or control characters."""
    parts = [f"{_short(page.title.upper(), WIDTH, MOST_LINES)}\n{_wrapped(page.kicker)}"]
    parts += [_text(block) for block in page.head]
    parts += _every(page.sections) if page.every else _plantings(page.sections)
    parts += [_text(block) for block in page.tail if _narrow(block)]
    return printable("\n\n".join(part for part in parts if part)) + "\n"


def printable(text: str) -> str:
    """The text without control characters, which a hostile name could use to move the cursor."""
    return "".join(char for char in text if char == "\n" or char.isprintable())


def _every(sections: tuple[Section, ...]) -> list[str]:
    """Every section in full."""
    parts = []
    for section in sections:
        head = f"{section.title.upper()}\n{section.summary}"
        parts.append("\n".join(_short(line, WIDTH, MOST_LINES) for line in head.split("\n")))
        parts += [_text(block) for block in section.blocks]
    return parts


def _plantings(sections: tuple[Section, ...]) -> list[str]:
    """How each is doing, and the first one's numbers."""
    rest = "The other plantings, every night and every figure: the page (--out week.html)."
    more = [_wrapped(rest)] if len(sections) > 1 else []
    return [_how_each_is_doing(sections), *(_text(block) for block in _told_here(sections[:1])), *more]


def _told_here(sections: tuple[Section, ...]) -> list[Block]:
    """Of the first planting the numbers only: its words stand at the head of the page already."""
    return [block for section in sections for block in section.blocks if isinstance(block, Table) and _narrow(block)]


def _narrow(block: Block) -> bool:
    """Whether a terminal has room for it."""
    return not (isinstance(block, Table) and (block.detail or block.wide))


def _how_each_is_doing(sections: tuple[Section, ...]) -> str:
    """One line for each planting; a long name gives way to how it is doing."""
    lines = [
        f"– {_short(each.title, max(WIDTH - 4 - len(each.short), 8), 1)}: {printable(each.short)}"
        for each in sections
        if each.short
    ]
    return "\n".join(["HOW EACH IS DOING", *lines]) if lines else ""


@singledispatch
def _text(block: Block) -> str:
    raise TypeError(f"no way to print a {type(block).__name__}")


@_text.register
def _(block: Line) -> str:
    return "\n".join(_wrapped(part) for part in (block.text, block.why) if part)


@_text.register
def _(block: Figure) -> str:
    return leaf_strip(block.planting, block.today)


@_text.register
def _(block: Actions) -> str:
    lines = [block.title.upper()]
    for number, item in enumerate(block.items, start=1):
        lines.append(_hanging(f"{number}. ", f"{item.what}. {item.when}."))
        lines += [_hanging("   ", part) for part in (item.why, *item.how) if part]
        if item.cautions:
            lines.append(_hanging("   ", f"Take care: {' '.join(item.cautions)}"))
        if item.steps:
            lines.append(_hanging("   ", "Step by step: abaxial mix, or the page (--out week.html)."))
    return "\n".join(lines) if block.items else f"{block.title.upper()}\nNothing this week."


@_text.register
def _(block: Reasons | Notes | Caution) -> str:
    items = block.items[:MOST_REASONS]
    if isinstance(block, Caution) and len(block.items) > MOST_DOUBTS:
        # the last two hold for the whole page: where the weather ends, and what it does not speak of
        items = (*block.items[: MOST_DOUBTS - 2], *block.items[-2:])
    elif isinstance(block, Caution):
        items = block.items
    more = len(block.items) - len(items)
    told = [_hanging("– ", item) for item in items]
    return "\n".join([_wrapped(block.title.upper()), *told, *([f"  {more} more on the page"] if more else [])])


@_text.register
def _(block: Points) -> str:
    return "\n".join([_wrapped(block.title.upper()), *(_hanging("– ", item) for item in block.items)])


@_text.register
def _(block: Precautions) -> str:
    return "\n".join([_wrapped(block.title.upper()), _wrapped(" ".join(block.items))])


@_text.register
def _(block: Steps) -> str:
    told = [_hanging(f"{number:2}. ", item) for number, item in enumerate(block.items, start=1)]
    return "\n".join([_wrapped(block.title.upper()), *told])


@_text.register
def _(block: Sheet) -> str:
    return _wrapped(f"{block.title}: the page has a sheet to print (--out walk.html).")


@_text.register
def _(block: Sources) -> str:
    papers = f"{', '.join(block.keys)}. The page lists them in full." if block.keys else "No papers were needed."
    return "\n".join([block.title.upper(), _wrapped(papers), _short(block.in_short, WIDTH, MOST_LINES)])


@_text.register
def _(block: Table) -> str:
    kept = [number for number, column in enumerate(block.columns) if column != block.spare]
    heads, *rows = [[row[number] for number in kept] for row in (block.columns, *map(_cells, block.rows))]
    widths = _column_widths(heads, rows)
    lines = [_wrapped(block.caption.upper()), *_row_lines(heads, widths), "  ".join("─" * width for width in widths)]
    for row in rows:
        lines += _row_lines(row, widths)
    return "\n".join([*lines, _wrapped(block.note)] if block.note else lines)


def _cells(row: Row) -> tuple[str, ...]:
    return (row.head, *row.cells)


def _row_lines(row: list[str], widths: list[int]) -> list[str]:
    cells = [_short(cell, width, MOST_LINES).split("\n") for cell, width in zip(row, widths, strict=True)]
    tall = max(len(cell) for cell in cells)
    padded = [[*cell, *[""] * (tall - len(cell))] for cell in cells]
    return [
        "  ".join(part.ljust(width) for part, width in zip(parts, widths, strict=True)).rstrip()
        for parts in zip(*padded, strict=True)
    ]


def _column_widths(heads: list[str], rows: list[list[str]]) -> list[int]:
    """Column widths that fit the page: what the cells ask for, heads on two lines, the widest giving way first."""
    widths = [
        max(-(-len(head) // 2) + 1, *(len(word) for word in head.split()), *(len(cell) for cell in column), 1)
        for head, *column in zip(heads, *rows, strict=True)
    ]
    room = WIDTH - 2 * (len(widths) - 1)
    while sum(widths) > room:
        widths[widths.index(max(widths))] -= 1
    return widths


def _short(text: str, width: int, lines: int) -> str:
    """Wrapped to a few lines; what does not fit is cut, with a sign that it was."""
    return "\n".join(textwrap.wrap(printable(text), width, max_lines=lines, placeholder="…") or [""])


def _wrapped(text: str) -> str:
    return textwrap.fill(printable(text), WIDTH)


def _hanging(mark: str, text: str) -> str:
    return textwrap.fill(
        printable(text), WIDTH, initial_indent=mark, subsequent_indent=" " * len(mark), break_long_words=True
    )
