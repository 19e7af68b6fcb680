"""The page of the hours: for each bottle and bed when it may be sprayed, and what closes every other hour."""

from datetime import date

from abaxial.errors import FaultError
from abaxial.label.precautions import kinds_for
from abaxial.report.answers.hours import BedHours, ClosedHours, HoursAnswer
from abaxial.report.blocks import Block, Caution, Line, Page, Points, Precautions, Row, Section, Table
from abaxial.report.pages.plan.cautions import cautions_told
from abaxial.report.pages.plan.small import one_for_each_bottle
from abaxial.report.pages.sources import made_in_short
from abaxial.report.words.dates import full_date, moment_words
from abaxial.report.words.likelihood import tenths_short
from abaxial.report.words.plan.hours import closed_words, open_words, short_stretch
from abaxial.report.words.quantities import Units, counted, listed
from abaxial.report.words.speech import say


def hours_page(answer: HoursAnswer, units: Units = "metric") -> Page:
    """The blocks of an hours' answer. Raises FaultError where an hour is open and a precaution is lacking."""
    head: list[Block] = [Line(_headline(answer), _until(answer))]
    if any(each.open for each in answer.beds):
        head.append(_precautions(answer, units))
    asks = tuple(dict.fromkeys(say(each, units, answer.today) for bed in answer.beds for each in bed.asks))
    if asks:
        head.append(Caution("What we have to ask", asks))
    sections = tuple(_section(each, answer, number, units) for number, each in enumerate(answer.beds, start=1))
    unknown = tuple(dict.fromkeys(say(each, units, answer.today) for each in answer.unknown))
    tail: list[Block] = [Caution("What we do not know", unknown)] if unknown else []
    invented = " · invented garden and weather" if answer.invented else ""
    kicker = f"Hours for spraying, {full_date(answer.today)}{invented}"
    return Page(answer.garden, kicker, tuple(head), sections, (*tail, made_in_short(answer.passport)), every=True)


def _precautions(answer: HoursAnswer, units: Units) -> Precautions:
    lacking = [kind for kind in kinds_for(("pesticide",)) if kind not in {each.kind for each in answer.precautions}]
    if lacking:
        raise FaultError(
            f"Hours for spraying cannot be shown without the precautions {', '.join(lacking)}.",
            remedy="Give them those of label.precautions.",
        )
    return Precautions("Before you begin", cautions_told(answer.precautions, units, answer.today))


def _headline(answer: HoursAnswer) -> str:
    if not answer.beds:
        return "Nothing was asked for: there is no bottle, or no bed to spray."
    if all(_cannot_be_mixed(each) for each in answer.beds):
        return "Nothing that was asked for can be mixed, so no hour is fit; each says why."
    found = [(each.open[0], each) for each in answer.beds if each.open]
    if not found:
        return "No hour ahead is fit for spraying; the work that needs no sprayer comes first."
    first, bed = min(found, key=lambda pair: pair[0].start)
    return f"{bed.bottle} on {bed.bed}: {open_words(first, answer.today)}."


def _cannot_be_mixed(bed: BedHours) -> bool:
    """Whether no mix can be made for any planting of a bed; where it can for some, there are hours, or what closes them."""
    return bool(bed.hindered) and not bed.asks and not bed.closed and not bed.shut and not bed.open


def _until(answer: HoursAnswer) -> str:
    return f"The weather ahead is known until {moment_words(answer.until)}." if answer.until else ""


def _section(bed: BedHours, answer: HoursAnswer, number: int, units: Units) -> Section:
    today = answer.today
    short = _short(bed, today)
    blocks: list[Block] = []
    if bed.hindered:
        told = tuple(say(each, units, today) for each in one_for_each_bottle(bed.hindered))
        blocks.append(Points("What cannot be mixed", told))
    if bed.open:
        told = tuple(f"{_cap(open_words(each, today))}." for each in bed.open)
        blocks.append(Points(f"Open, for work of about {counted(bed.minutes, 'minute', 'minutes')}", told))
    elif bed.shut:
        blocks.append(Points("What closes them", tuple(say(each, units, today) for each in bed.shut)))
    if bed.closed:
        blocks.append(_closed(bed.closed, today))
    title = f"{bed.bottle}, {bed.bed}"
    return Section(f"hours-{number}", title, f"{listed(bed.plantings)}: {short}", tuple(blocks), short)


def _short(bed: BedHours, today: date) -> str:
    if bed.open:
        return open_words(bed.open[0], today)
    if bed.asks:
        return "to be asked first"
    return "it cannot be mixed" if _cannot_be_mixed(bed) else "no hour is fit"


def _closed(closed: tuple[ClosedHours, ...], today: date) -> Table:
    rows = tuple(
        Row(
            _cap(short_stretch(each.start, each.end, today)),
            (
                closed_words(each.kind),
                tenths_short(each.members_frac),
                ", ".join(closed_words(kind) for kind in each.also) or "–",
            ),
        )
        for each in closed
    )
    note = "How sure: in how many of ten possible weathers the first reason closes them."
    return Table(
        "Closed, and by what", ("Hours", "First of all", "How sure", "Also"), rows, note=note, detail=len(rows) > 12
    )


def _cap(text: str) -> str:
    return text[0].upper() + text[1:]
