"""The page of a walk: one sentence, the stops in order, what finding nothing would mean, a sheet to fill in by hand."""

from abaxial.report.answers.walk import Stop, WalkAnswer
from abaxial.report.blocks import Action, Actions, Block, Caution, Line, Notes, Page, Row, Sheet
from abaxial.report.pages.sources import made_in_short
from abaxial.report.words.dates import full_date
from abaxial.report.words.quantities import Units, counted
from abaxial.report.words.seen.walks import not_worth_words, part_words, turn_words_for
from abaxial.report.words.speech import say, say_first

#: empty lines for what was not planned
_SPARE_ROWS = 4


def walk_page(answer: WalkAnswer, units: Units = "metric") -> Page:
    """The blocks of a walk's answer."""
    head: list[Block] = [Line(*say_first(answer.headline, units, answer.today))]
    ordered = sorted(answer.stops, key=lambda each: each.order)
    if ordered:
        head.append(Actions("Where to go", tuple(_action(each, answer, units) for each in ordered)))
        head.append(Notes("While you walk", _advice(ordered)))
    if answer.not_worth:
        head.append(Line(not_worth_words(answer.not_worth)))
    if ordered:
        head.append(sheet_of(ordered))
    invented = " · invented garden and weather" if answer.invented else ""
    kicker = f"A walk, {full_date(answer.today)}, {counted(answer.minutes, 'minute', 'minutes')}{invented}"
    return Page(answer.garden, kicker, tuple(head), (), tuple(_tail(answer, units)))


def sheet_of(stops: list[Stop]) -> Sheet:
    """The sheet to fill in by hand: what is planned stands there, what is found is left empty."""
    rows = tuple(Row(each.planting, (f"{part_words(each.part)} ({each.leaves})", "", "", "")) for each in stops)
    blank = tuple(Row("", ("", "", "", "")) for _ in range(_SPARE_ROWS))
    return Sheet(
        "To fill in by hand",
        ("Planting", "Part (planned)", "Turned", "With rust", "How much, %"),
        (*rows, *blank),
        "Turned: leaves looked at, also those without rust. With rust: of those, how many show it on either face; write 0 "
        "if none does. How much: what share of those leaves is rusted, guessed; leave it empty if none is. Take every leaf you "
        "planned, not the worst ones.",
        ("Date", "Who looked", "Minutes"),
    )


def _action(stop: Stop, answer: WalkAnswer, units: Units) -> Action:
    what = turn_words_for(stop.part, stop.leaves, stop.plants)
    told = [say(stop.why, units, answer.today)]
    if stop.if_none is not None:
        told.append(say(stop.if_none, units, answer.today))
    when = f"{stop.bed}, about {counted(stop.minutes, 'minute', 'minutes')}"
    return Action(f"{stop.planting}: {what}", when, " ".join(told))


def _advice(stops: list[Stop]) -> tuple[str, ...]:
    advice = [
        "Take leaves as they come, a few on each plant, and not only those that look worst.",
        "Count the clean ones too: a zero tells as much as a find.",
    ]
    advice.append(
        "Guess how much of the leaves with rust is rusted, “5 % of rusted leaves”: once most leaves bear some, their number "
        "alone says no more."
    )
    if any(each.part == "lower" for each in stops):
        advice.append("Turn each leaf over: rust opens on the underside first.")
    return tuple(advice)


def _tail(answer: WalkAnswer, units: Units) -> list[Block]:
    unknown = tuple(dict.fromkeys(say(each, units, answer.today) for each in answer.unknown))
    sources = made_in_short(answer.passport)
    return [Caution("What we do not know", unknown), sources] if unknown else [sources]
