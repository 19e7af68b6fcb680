"""The few kinds of block a page is made of. Terminal, HTML and PDF each render the same list."""

from dataclasses import dataclass
from datetime import date

from abaxial.errors import FaultError
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
    """One thing to do: what, when, and why; no why where the page's first line has said it.

    how : how much, with what on, where it goes, a sentence each. steps : one by one, folded away where room is scarce.
    cautions : stand with it wherever it is shown. hurts : whether somebody may come to harm by it. Raises FaultError where
    somebody may and no caution stands with it.
    """

    what: str
    when: str
    why: str
    how: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    hurts: bool = False

    def __post_init__(self) -> None:
        """Refuse to be shown without what keeps people from harm."""
        if self.hurts and not self.cautions:
            raise FaultError(
                f"{self.what!r} cannot be shown without its precautions.",
                remedy="Give the task those of label.precautions.",
            )


@dataclass(frozen=True)
class Actions:
    """What to do."""

    title: str
    items: tuple[Action, ...]


@dataclass(frozen=True)
class Reasons:
    """Why, most important first."""

    title: str
    items: tuple[str, ...]


@dataclass(frozen=True)
class Points:
    """What belongs together under one title, told whole in every rendering."""

    title: str
    items: tuple[str, ...]


@dataclass(frozen=True)
class Steps:
    """What to do, one after the other."""

    title: str
    items: tuple[str, ...]


@dataclass(frozen=True)
class Precautions:
    """What keeps people from harm; never empty, never shortened. Raises FaultError where it is empty."""

    title: str
    items: tuple[str, ...]

    def __post_init__(self) -> None:
        """Refuse to say nothing."""
        if not self.items:
            raise FaultError("Precautions cannot be empty.", remedy="Give those of label.precautions.")


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


Block = Line | Figure | Actions | Reasons | Points | Steps | Precautions | Table | Sheet | Notes | Caution | Sources


@dataclass(frozen=True)
class Section:
    """What belongs to one planting, or to one bottle. anchor : its name in links. summary : one line that stands for it. short : how it is
    doing, in a few words for a narrow place; may be empty."""

    anchor: str
    title: str
    summary: str
    blocks: tuple[Block, ...]
    short: str = ""


@dataclass(frozen=True)
class Page:
    """A whole page, in the order it is read: head, one section for each planting, tail. every : whether a terminal tells
    every section, and not only how each is doing."""

    title: str
    kicker: str
    head: tuple[Block, ...]
    sections: tuple[Section, ...]
    tail: tuple[Block, ...]
    every: bool = False
