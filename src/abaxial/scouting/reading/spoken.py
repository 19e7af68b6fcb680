"""A walk said in one line, such as "Quay cannas: 14 low, 2 rusted; Fig-tree cannas: some, low", read into sightings."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from difflib import get_close_matches
from pathlib import Path
from typing import NoReturn

from abaxial.errors import ScoutingError
from abaxial.scouting.reading.line import Line, shown
from abaxial.scouting.reading.look import sighting_of
from abaxial.scouting.sightings import Sighting

EXAMPLE = '"Quay cannas: 14 low, 2 rusted; Fig-tree cannas: some, low"'
LONGEST = 20_000
_PARTS = {
    **dict.fromkeys(("low", "lower"), "lower"),
    **dict.fromkeys(("high", "upper", "top"), "upper"),
    **dict.fromkeys(("stem", "stems"), "stem"),
    "any": "any",
}  # fmt: skip
_AMOUNTS = {
    **dict.fromkeys(("none", "clean", "nothing", "no"), "none"),
    **dict.fromkeys(("some", "few"), "some"),
    **dict.fromkeys(("many", "much", "lots"), "many"),
    "first": "first",
}  # fmt: skip
_UNITS = {**dict.fromkeys(("leaf", "leaves"), "leaf"), **dict.fromkeys(("plant", "plants", "clump", "clumps"), "plant")}
_RUSTED = ("rusted", "rusty", "rust")
_BLISTERS = ("pustule", "pustules", "blister", "blisters")
_FILLING = ("turned", "looked", "at", "checked", "with", "had", "seen", "a", "the", "per", "on", "each", "of", "open")
_KNOWN = (*_PARTS, *_AMOUNTS, *_UNITS, *_RUSTED, *_BLISTERS, *_FILLING, "all")
_PIECES = re.compile(r"""(?:\([^)]*\)|"[^"]*"|(?<=\d),(?=\d)|[^,])+""")
_SHARE = re.compile(r"([\d.,]+)\s*(?:(?:-|–|to)\s*([\d.,]+)\s*)?(?:%|percent|per cent)\s*(.*)")
_NOTE = re.compile(r"""\(([^)]*)\)|"([^"]*)\"""")


@dataclass(frozen=True)
class _Speech:
    """What is said of one planting. where : for messages."""

    planting: str
    said: str
    where: str

    def refuse(self, piece: str, rule: str, remedy: str) -> NoReturn:
        """Raise ScoutingError for a piece of it."""
        raise ScoutingError(f"{self.where}: {shown(piece)} {rule}.", remedy=remedy, where=self.where)


def read_spoken(
    text: str, plantings: Sequence[str], *, on: date, by: str = "", where: str = "seen"
) -> tuple[Sighting, ...]:
    """The sightings in a line: plantings with a colon after each, set apart by semicolons; what was seen, by commas.

    plantings : names that are known; such a name may hold any letters, and another one no colon. on : date of the walk.
    by : who looked. where : for messages. A count that comes a second time begins another look at the same planting.
    Raises ScoutingError naming planting, piece, rule and what to write.
    """
    if len(text) > LONGEST:
        raise ScoutingError(f"{where}: {len(text)} letters are too many for a line.", remedy="Write a CSV file.")
    found = []
    for speech in _speeches(text, plantings, where):
        for look in _looks(speech):
            found.append(sighting_of(Line({"by": by, **look, "on": on}, speech.where, Path())))
    if not found:
        raise ScoutingError(f"{where}: it says nothing.", remedy=f"Write it like {EXAMPLE}.", where=where)
    return tuple(sorted(found, key=lambda each: (each.on, each.planting, each.part)))


def _speeches(text: str, plantings: Sequence[str], where: str) -> Iterator[_Speech]:
    """The line cut into plantings and what is said of each."""
    longest_first = sorted(plantings, key=len, reverse=True)
    place = 0
    while place < len(text):
        if text[place] in "; \t\r\n":
            place += 1
            continue
        name, place = _name(text, place, longest_first, where)
        end = place
        while end < len(text) and text[end] not in ";\n":
            closing = {"(": ")", '"': '"'}.get(text[end])
            # a remark may hold anything
            closed = text.find(closing, end + 1) if closing else -1
            end = max(closed, end) + 1
        yield _Speech(name, text[place:end], f"{where}, {name}")
        place = end


def _name(text: str, place: int, plantings: Sequence[str], where: str) -> tuple[str, int]:
    """A planting's name, and where what is said of it begins."""
    for each in plantings:
        end = place + len(each)
        after = re.match(r"\s*:", text[end:])
        if after and text[place:end].casefold() == each.casefold():
            return each, end + after.end()
    other = re.match(r'\s*"?([^:;\n"]+)"?\s*:', text[place:])
    if other is None:
        piece = re.split(r"[;\n]", text[place:])[0].strip()
        raise ScoutingError(
            f"{where}: {shown(piece)} does not say at which planting.", remedy=f"Write it like {EXAMPLE}.", where=where
        )
    return other[1].strip(), place + other.end()


def _looks(speech: _Speech) -> Iterator[Mapping[str, object]]:
    """The looks at one planting, as cells by field name."""
    look: dict[str, object] = {}
    for piece in _PIECES.findall(speech.said):
        said = _cells(piece.strip().rstrip("."), speech)
        if said.get("amount") == "none" and "turned" in look and "rusted" not in look and "part" not in said:
            said = {"rusted": 0}
        note = said.pop("note", None)
        if look.keys() & said.keys():
            yield _finished(look, speech)
            look = {}
        look |= said
        if note:
            look["note"] = f"{look['note']}; {note}" if "note" in look else note
    if not look:
        speech.refuse(speech.planting, "is named, and nothing is said of it", f"Write it like {EXAMPLE}.")
    yield _finished(look, speech)


def _finished(look: Mapping[str, object], speech: _Speech) -> dict[str, object]:
    cells = {"planting": speech.planting, **look}
    if cells.get("rusted") == "all":
        if "turned" not in cells:
            speech.refuse(
                "all rusted", "does not say of how many", "Say how many were turned, such as 14 low, all rusted."
            )
        cells["rusted"] = cells["turned"]
    if cells.get("rusted") == 0 and "turned" not in cells:
        del cells["rusted"]
        cells["amount"] = "none"
    return cells


def _cells(piece: str, speech: _Speech) -> dict[str, object]:
    """What one piece says, by field name."""
    if not piece:
        return {}
    remark = _NOTE.search(piece)
    if remark:
        rest = (piece[: remark.start()] + piece[remark.end() :]).strip()
        return {"note": (remark[1] or remark[2] or "").strip(), **_cells(rest, speech)}
    if piece.casefold().startswith("by "):
        return {"by": piece[3:].strip()}
    share = _SHARE.fullmatch(piece.casefold())
    return _share(share) if share else _counts(piece, speech)


def _share(share: re.Match[str]) -> dict[str, object]:
    """A percentage: of the leaf area, of the area of leaves with rust, or of leaves."""
    limits, of = [_real(each) for each in share.groups()[:2] if each], share[3].split()
    value = limits[0] if len(limits) == 1 else limits
    if any(word in _RUSTED for word in of):
        return {"severity_percent": value, "severity_of": "rusted"}
    if "area" not in of and any(word in _UNITS for word in of):
        return {"incidence_percent": value}
    return {"severity_percent": value}


def _counts(piece: str, speech: _Speech) -> dict[str, object]:
    """A count, a word for an amount, a part of the plant, or several of them together."""
    words = piece.casefold().split()
    numbers = [word for word in words if word[:1].isdigit()]
    strange = [word for word in words if word not in _KNOWN and word not in numbers]
    if strange or len(numbers) > 2:
        near = get_close_matches(strange[0], _KNOWN, n=1, cutoff=0.6) if strange else []
        meant = f"Did you mean {near[0]}? " if near else ""
        speech.refuse(piece, "is not understood", f"{meant}Write it like {EXAMPLE}; a remark stands in (…).")
    cells: dict[str, object] = {}
    parts = {_PARTS[word] for word in words if word in _PARTS}
    if parts:
        cells["part"] = "any" if len(parts) > 1 else parts.pop()
    if any(_UNITS.get(word) == "plant" for word in words):
        cells["unit"] = "plant"
    has_rust = any(word in _RUSTED for word in words)
    if len(numbers) == 2:
        return cells | {"rusted": _whole(numbers[0], piece, speech), "turned": _whole(numbers[1], piece, speech)}
    if numbers and any(word in _BLISTERS for word in words):
        return cells | {"pustules_per_leaf": _real(numbers[0])}
    if numbers:
        return cells | {"rusted" if has_rust else "turned": _whole(numbers[0], piece, speech)}
    if has_rust and "all" in words:
        return cells | {"rusted": "all"}
    amounts = [_AMOUNTS[word] for word in words if word in _AMOUNTS]
    if len(set(amounts)) > 1:
        speech.refuse(piece, "says two amounts", "Put a comma between them, and say of which leaves each is.")
    if has_rust and amounts == ["none"]:
        return cells | {"rusted": 0}
    return cells | ({"amount": amounts[0]} if amounts else {})


def _real(number: str) -> object:
    """A number with a point or a comma; text that is none stays as it is, to be refused."""
    try:
        return float(number.replace(",", "."))
    except ValueError:
        return number


def _whole(number: str, piece: str, speech: _Speech) -> int:
    if not number.isdecimal() or len(number) > 9:
        speech.refuse(piece, "is no whole count", "Count whole leaves, and put a comma and a blank between two counts.")
    return int(number)
