"""The page of the collection: how safe each cultivar is, what may be divided, where rust came from and went."""

from datetime import date

from abaxial.errors import FaultError
from abaxial.label.precautions import kinds_for
from abaxial.report.answers.stock import PlantingStock, StockAnswer, Traced
from abaxial.report.blocks import Block, Caution, Line, Page, Points, Precautions, Row, Section, Table
from abaxial.report.pages.sources import made_in_short
from abaxial.report.words.dates import day_words, full_date
from abaxial.report.words.quantities import Units, counted, listed
from abaxial.report.words.seen import stock as words
from abaxial.report.words.seen.shares import plain_percent
from abaxial.report.words.speech import say

_NEVER_CLEAN = "A clump that looks clean is not called clean: what came in lately does not show."


def stock_page(answer: StockAnswer, units: Units = "metric") -> Page:
    """The blocks of a stock's answer. Raises FaultError where something may be divided and a precaution is lacking."""
    head: list[Block] = [Line(_headline(answer), _NEVER_CLEAN), _cultivars(answer)]
    safe = tuple(f"{each.cultivar}. {words.safety_words(each.safety)}" for each in answer.cultivars if each.safety)
    if safe:
        head.append(Points("To keep it safe", safe))
    if safe or any(each.may_divide for each in answer.plantings):
        head.append(_precautions(answer, units))
    if answer.traced is not None:
        head += _traced(answer.traced)
    sections = tuple(_section(each, number, units, answer) for number, each in enumerate(answer.plantings, start=1))
    unknown = tuple(dict.fromkeys(say(each, units, answer.today) for each in answer.unknown))
    tail: list[Block] = [Caution("What we do not know", unknown)] if unknown else []
    invented = " · invented garden and weather" if answer.invented else ""
    kicker = f"What to keep, {full_date(answer.today)}{invented}"
    return Page(answer.garden, kicker, tuple(head), sections, (*tail, made_in_short(answer.passport)), every=True)


def _precautions(answer: StockAnswer, units: Units) -> Precautions:
    lacking = [kind for kind in kinds_for(("blade",)) if kind not in {each.kind for each in answer.precautions}]
    if lacking:
        raise FaultError(
            f"Dividing cannot be spoken of without the precautions {', '.join(lacking)}.",
            remedy="Give it those of label.precautions.",
        )
    told = tuple(dict.fromkeys(say(each, units, answer.today) for each in answer.precautions))
    return Precautions("Before you divide", (*told, "Clean the blade before each clump: abaxial dispose says how."))


def _headline(answer: StockAnswer) -> str:
    may = tuple(each.planting for each in answer.plantings if each.may_divide)
    if may:
        return f"{listed(may, most=6)} may be divided today."
    soon = sorted((each.first_on, each.planting) for each in answer.plantings if each.first_on is not None)
    if not soon:
        return "Nothing may be divided in the days ahead."
    if soon[0][0] <= answer.today:
        return f"Nothing may be divided today, though time and rain would allow it for {soon[0][1]}."
    return (
        f"Nothing may be divided today; the first that time and rain allow is {soon[0][1]}, on {day_words(soon[0][0])}."
    )


def _cultivars(answer: StockAnswer) -> Table:
    rows = tuple(
        Row(
            each.cultivar,
            (
                f"{each.plantings}, {counted(each.clumps, 'clump', 'clumps')}",
                plain_percent(each.healthy_frac),
                f"{each.healthy_clumps:.1f}",
            ),
        )
        for each in answer.cultivars
    )
    note = f"Healthy: without any rust, hidden or showing, on {day_words(answer.until)}, and not lost otherwise."
    return Table("Every cultivar", ("Cultivar", "Plantings", "One healthy at least", "Healthy clumps"), rows, note=note)


def _traced(traced: Traced) -> list[Block]:
    seen = f"Rust was last seen on {traced.planting} on {day_words(traced.seen_on)}" if traced.seen_on else (
        f"No rust has been seen on {traced.planting}; were some found today"
    )  # fmt: skip
    begun = f"it can have come in since {day_words(traced.since)}"
    far = "" if traced.known else ", the first day that is written down"
    back = tuple(words.step_words(each) for each in traced.back)
    on = tuple(words.step_words(each) for each in traced.exposed)
    came = tuple(words.wind_words(each, "it", traced.planting) for each in traced.wind_from)
    went = tuple(words.wind_words(each, traced.planting, "it") for each in traced.wind_to)
    return [
        Points(f"Rust on {traced.planting}", (f"{seen}; {begun}{far}.",)),
        Points("Where it can have come from", back or ("From no other planting that is written down.",)),
        Points("Where it can have gone", on or ("To no other planting that is written down.",)),
        Points(
            "Where the wind can have brought it from", came or ("From no other planting here that gets this rust.",)
        ),
        Points("Where the wind can have carried it", went or ("To no other planting here that gets this rust.",)),
    ]


def _section(each: PlantingStock, number: int, units: Units, answer: StockAnswer) -> Section:
    short = "may be divided" if each.may_divide else _when(each, answer.today)
    points = [f"{words.origin_words(each)}, in {each.bed}.", *(say(why, units, answer.today) for why in each.reasons)]
    points.append(words.clock_words(each, answer.today))
    if not each.may_divide and each.first_on is not None:
        when = "today" if each.first_on <= answer.today else f"on {day_words(each.first_on)}"
        points.append(f"Turn {each.leaves_needed} leaves {when} or later; if none has rust, ask again.")
    return Section(f"stock-{number}", each.planting, short, (Points("May it be divided", tuple(points)),), short)


def _when(each: PlantingStock, today: date) -> str:
    if each.first_on is None:
        return "not in the days ahead"
    return "not today" if each.first_on <= today else f"not before {day_words(each.first_on)}"
