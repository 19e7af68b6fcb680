"""The few kinds of block a page is made of. Terminal, HTML and PDF each render the same list."""

from dataclasses import dataclass
from datetime import date

from abaxial.report.answers.week import PlantingWeek


@dataclass(frozen=True)
class Line:
    """The one sentence that matters. why : what stands behind it and how sure it is; may be empty."""

    text: str
    why: str = ""


@dataclass(frozen=True)
class Figure:
    """The leaf line of a planting. title : what it is. text : what a reader who cannot see it should know."""

    planting: PlantingWeek
    today: date
    title: str
    text: str


@dataclass(frozen=True)
class Action:
    """One thing to do: what, when, and why; no why where the page's first line has said it."""

    what: str
    when: str
    why: str


@dataclass(frozen=True)
class Actions:
    """What to do, at most three."""

    title: str
    items: tuple[Action, ...]


@dataclass(frozen=True)
class Reasons:
    """Why, most important first."""

    title: str
    items: tuple[str, ...]


@dataclass(frozen=True)
class Row:
    """A row of a table. head : its first cell. anchor : the section it leads to, or empty."""

    head: str
    cells: tuple[str, ...]
    anchor: str = ""


@dataclass(frozen=True)
class Table:
    """Numbers. columns : heads, the first over the row heads. note : how to read it. detail : folded away where room is
    scarce, and left out of a terminal. wide : shown on the page, too much for a terminal. spare : the column that goes
    first where room is scarce."""

    caption: str
    columns: tuple[str, ...]
    rows: tuple[Row, ...]
    note: str = ""
    detail: bool = False
    wide: bool = False
    spare: str = ""


@dataclass(frozen=True)
class Sheet:
    """A table to fill in by hand on paper. columns : heads. rows : what is known already, the rest of each row empty.
    note : how to fill it in. lines : what is written above it, each with a line to write on."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[Row, ...]
    note: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Notes:
    """Short remarks that stand in the margin."""

    title: str
    items: tuple[str, ...]


@dataclass(frozen=True)
class Caution:
    """What we do not know or must not be read into the page."""

    title: str
    items: tuple[str, ...]


@dataclass(frozen=True)
class Sources:
    """Where the numbers come from: the papers, then what this page was made from, by name.

    keys : short names of the papers. in_short : what it was made from, in a sentence.
    """

    title: str
    items: tuple[str, ...]
    made_from: tuple[tuple[str, str], ...]
    keys: tuple[str, ...] = ()
    in_short: str = ""


Block = Line | Figure | Actions | Reasons | Table | Sheet | Notes | Caution | Sources


@dataclass(frozen=True)
class Section:
    """What belongs to one planting. anchor : its name in links. summary : one line that stands for it. short : how it is
    doing, in a few words for a narrow place; may be empty."""

    anchor: str
    title: str
    summary: str
    blocks: tuple[Block, ...]
    short: str = ""


@dataclass(frozen=True)
class Page:
    """A whole page, in the order it is read: head, one section for each planting, tail."""

    title: str
    kicker: str
    head: tuple[Block, ...]
    sections: tuple[Section, ...]
    tail: tuple[Block, ...]
