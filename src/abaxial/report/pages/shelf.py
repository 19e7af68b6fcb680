"""The page of the shelf: every bottle, what is left, what its label lacks, when each planting may get it next."""

from abaxial.report.answers.reason import Reason
from abaxial.report.answers.shelf import NextUse, ShelfAnswer, ShelfBottle
from abaxial.report.blocks import Block, Caution, Line, Page, Points, Row, Section, Table
from abaxial.report.pages.sources import made_in_short
from abaxial.report.words.dates import full_date
from abaxial.report.words.plan.hours import near_day
from abaxial.report.words.plan.labels import fields_words
from abaxial.report.words.quantities import Units, counted, listed, product_words
from abaxial.report.words.speech import say

_LABEL_FIRST = (
    "The product’s label and the law where you live come first; where a licence is needed, somebody who has one sprays."
)


def shelf_page(answer: ShelfAnswer, units: Units = "metric") -> Page:
    """The blocks of a shelf's answer."""
    head: list[Block] = [Line(_headline(answer))]
    if answer.bottles:
        head.append(_table(answer, units))
    lacking = tuple(_lacking(each) for each in answer.bottles if each.missing)
    if lacking:
        head.append(Points("What their labels still lack", lacking))
    warned = tuple(dict.fromkeys(say(each, units, answer.today) for each in answer.warnings))
    if warned:
        head.append(Points("What to mind", warned))
    invented = " · invented garden" if answer.invented else ""
    sections = tuple(
        _section(each, answer, number, units) for number, each in enumerate(answer.bottles, start=1) if each.uses
    )
    unknown = tuple(dict.fromkeys(say(each, units, answer.today) for each in answer.unknown))
    tail: list[Block] = [Caution("Before anything is used", (*unknown, _LABEL_FIRST)), made_in_short(answer.passport)]
    return Page(
        answer.garden, f"The shelf, {full_date(answer.today)}{invented}", tuple(head), sections, tuple(tail), every=True
    )


def _headline(answer: ShelfAnswer) -> str:
    if not answer.bottles:
        return "There is nothing on the shelf."
    ready = [each for each in answer.bottles if _usable(each)]
    many = counted(len(answer.bottles), "bottle stands", "bottles stand")
    may = (
        f"{len(ready)} of them may be used in the days ahead" if ready else "none of them may be used in the days ahead"
    )
    return f"{many} on the shelf; {may}."


def _usable(bottle: ShelfBottle) -> bool:
    return any(each.on is not None for each in bottle.uses)


def _table(answer: ShelfAnswer, units: Units) -> Table:
    rows = tuple(
        Row(
            each.bottle,
            (
                listed(tuple(name.replace("_", " ") for name in each.actives)) or "–",
                ", ".join(each.codes) or "–",
                product_words(each.left, each.unit, units) if each.left is not None else "not said",
                _soonest(each, answer),
            ),
            anchor=f"bottle-{number}" if each.uses else "",
        )
        for number, each in enumerate(answer.bottles, start=1)
    )
    note = "Kind: the FRAC code. Bottles of one kind count as one when taking turns, whatever they are called."
    return Table("Every bottle", ("Bottle", "What is in it", "Kind", "Left", "May be used"), rows, note=note)


def _soonest(bottle: ShelfBottle, answer: ShelfAnswer) -> str:
    if bottle.kind == "home_brew":
        return "never proposed"
    if bottle.missing:
        return "label first"
    days = [each.on for each in bottle.uses if each.on is not None]
    return near_day(min(days), answer.today) if days else "not in the days ahead"


def _lacking(bottle: ShelfBottle) -> str:
    return f"{bottle.bottle}: {fields_words(bottle.missing)}."


def _section(bottle: ShelfBottle, answer: ShelfAnswer, number: int, units: Units) -> Section:
    """The plantings of which the same is to be said stand together."""
    alike: dict[str, list[str]] = {}
    for use in bottle.uses:
        alike.setdefault(_use(use, bottle, answer, units), []).append(use.planting)
    points = tuple(f"{listed(tuple(names), most=len(names))}: {told}" for told, names in alike.items())
    blocks = (Points("Planting by planting", points),)
    return Section(f"bottle-{number}", bottle.bottle, _soonest(bottle, answer), blocks, _soonest(bottle, answer))


def _use(use: NextUse, bottle: ShelfBottle, answer: ShelfAnswer, units: Units) -> str:
    when = near_day(use.on, answer.today) if use.on else "not in the days ahead"
    why = " ".join(_refused(each, bottle, answer, units) for each in use.refusals)
    return f"{when}.{f' {why}' if why else ''}"


def _refused(reason: Reason, bottle: ShelfBottle, answer: ShelfAnswer, units: Units) -> str:
    """A reason against; what the page has told above, or asks for, in few words."""
    fields = reason.details.get("fields")
    if reason.kind == "label_incomplete" and isinstance(fields, list | tuple) and set(fields) <= set(bottle.missing):
        return "Its label comes first, as told above."
    if reason.kind == "bed_asked":
        return f"What lies around {reason.details.get('bed') or 'the bed'} has to be told first."
    if reason.kind == "too_small" and isinstance(smallest := reason.details.get("smallest"), int | float):
        return f"For so small a bed it takes less than {product_words(smallest, bottle.unit, units)}, which cannot be measured."
    return say(reason, units, answer.today)
