"""One planting on the page: how it is doing, its line, its figure, why, the weeks ahead, what would change, its nights."""

from dataclasses import replace
from datetime import date

from abaxial.report.answers.week import Night, PlantingWeek, Reason, WeekAnswer, WhatIf
from abaxial.report.blocks import Block, Figure, Line, Notes, Reasons, Row, Section, Table
from abaxial.report.figures.leaf_line import hidden_infections
from abaxial.report.pages.estimate import figure_words, forecast_table, looks_table, origin_words, why_of
from abaxial.report.pages.plan.week import planting_points
from abaxial.report.words.dates import band_words, day_words, days_listed, short_day, short_span
from abaxial.report.words.likelihood import nights_like_this
from abaxial.report.words.plan.steps import done_words
from abaxial.report.words.quantities import (
    Units,
    amount_band,
    counted,
    hours_band,
    nights_amount,
    percent_band,
    share_words,
    water_words,
)
from abaxial.report.words.seen.cards import short_card
from abaxial.report.words.speech import say, say_first
from abaxial.report.words.tasks import change_words, leaves_words

BORROWED_NOTE = (
    "Almost nothing has been measured for {rust}; its dates are borrowed from related rusts and are a guide only."
)


def planting_section(planting: PlantingWeek, answer: WeekAnswer, number: int, units: Units) -> Section:
    """The section of one planting. number : its place in the order of the page, from 1; what the head of the page has
    said of the first is not said again."""
    today = answer.today
    blocks: list[Block] = []
    if planting.card is not None:
        blocks.append(Line(say(planting.card, units, today)))
    points = planting_points(answer.plan, planting.planting, today, units) if answer.plan else None
    if points is not None:
        blocks.append(points)
    if number > 1 or answer.plan is not None or planting.headline != answer.headline:
        blocks.append(headline_line(planting.headline, planting, today, units))
    if number > 1:
        blocks.append(figure_of(planting, today))
        why = reasons_of(planting, today, units)
        if why:
            blocks.append(Reasons("Why", why))
    blocks += _numbers(planting, today, units)
    short = short_card(planting.card) if planting.card else ""
    return Section(f"planting-{number}", planting.planting, summary_of(planting), tuple(blocks), short)


def reasons_of(planting: PlantingWeek, today: date, units: Units) -> tuple[str, ...]:
    """Why: what speaks against the estimate, what moved it, then what the nights and the bed did."""
    return tuple(say(each, units, today) for each in (*why_of(planting.estimate), *planting.reasons))


def _numbers(planting: PlantingWeek, today: date, units: Units) -> list[Block]:
    estimate = planting.estimate
    ahead = forecast_table(estimate, today) if estimate else None
    looks = looks_table(estimate) if estimate else None
    habit = _what_if_table(planting) if planting.what_if else None
    nights = _nights_table(planting.nights, today, units) if planting.nights else None
    notes = Notes("The planting in short", _notes(planting, today))
    # the notes stand in the margin of the table before them
    ordered = (ahead, notes, habit, looks, nights) if ahead else (habit, notes, looks, nights)
    return [block for block in ordered if block is not None]


def headline_line(headline: Reason, planting: PlantingWeek, today: date, units: Units) -> Line:
    """A headline about a planting, with the planting's own days to look, and whether its dates are borrowed."""
    look = planting.look_days
    days = {"look_first": look[0], "look_last": look[1]} if look else {}
    first, why = say_first(replace(headline, details={**days, **headline.details}), units, today)
    if planting.borrowed and {"first", "night"} & set(headline.details):
        why = f"{why} The dates are borrowed from related rusts: a guide only.".strip()
    return Line(first, why)


def summary_of(planting: PlantingWeek) -> str:
    """One line that stands for a planting."""
    look = f"turn leaves {short_span(*planting.look_days)}" if planting.look_days else "nothing to turn yet"
    if planting.card is not None and (short := short_card(planting.card)):
        return f"{planting.bed}: {look}; {short}"
    amount = nights_amount(planting.latent_nights.mid)
    hidden = "nothing hidden" if amount == "0" else f"{amount} nights’ worth hidden, if spores were about"
    return f"{planting.bed}: {look}; {hidden}"


def figure_of(planting: PlantingWeek, today: date) -> Figure:
    """The leaf line of a planting with its text equivalent."""
    return Figure(planting, today, f"Leaf line: {planting.planting}, {planting.bed}", _in_words(planting, today))


def _in_words(planting: PlantingWeek, today: date) -> str:
    hidden = [each for each in hidden_infections(planting) if each.night < today]
    lately = [night for night in planting.nights if not night.ahead and (today - night.day).days <= 28]
    wet = [night for night in lately if night.wet_h_lower.mid >= 6]
    ahead = [
        each
        for each in planting.nights
        if each.ahead and 0 <= (each.day - today).days < 7 and each.wet_h_lower.mid >= 6
    ]
    lately_words = f"{counted(len(wet), 'night', 'nights')} of six wet hours or more in the last four weeks"
    told = [figure_words(planting.estimate, today)] if planting.estimate else []
    told += [done_words(planting.remedies)] if planting.remedies else []
    told.append(f"{lately_words}, {len(ahead) or 'none'} in the coming seven.")
    if not hidden:
        return " ".join([*told, "Nothing is hidden below the line."])
    # with an estimate there is more to tell, so fewer nights are named
    named = 1 if planting.estimate else 2
    soonest = sorted(hidden[:named], key=lambda one: one.showing.mid)
    shows = ", and ".join(f"the night of {day_words(each.night)} {band_words(each.showing)}" for each in soonest)
    told.append(f"If spores were about, {'this' if len(soonest) == 1 else 'these'} should show: {shows}.")
    more = len(hidden) - len(soonest)
    if more:
        told.append(
            f"{more} more {'is' if more == 1 else 'are'} hidden behind {'it' if len(soonest) == 1 else 'them'}."
        )
    if planting.borrowed and not planting.estimate:
        told.append("These dates are borrowed from related rusts: a guide only.")
    return " ".join(told)


def _what_if_table(planting: PlantingWeek) -> Table:
    changes = planting.what_if
    rows = tuple(
        Row(change_words(each.change), _what_if_cells(each, first=number == 0)) for number, each in enumerate(changes)
    )
    return Table(
        f"What a change of habit would do: {planting.planting}",
        ("Habit", "Wet hours a week", "Let in a week", "Avoided"),
        rows,
        note=f"Over the same {changes[0].window_days} days. Let in: nights’ worth, if spores were about. "
        "In brackets: eight times in ten it lies between these.",
    )


def _what_if_cells(change: WhatIf, *, first: bool) -> tuple[str, str, str]:
    if not change.possible:
        return ("already so", "–", "–")
    gain = "–" if first else percent_band(change.gain_frac)
    return (hours_band(change.wet_h_per_week), amount_band(change.infection_per_week), gain)


def _nights_table(nights: tuple[Night, ...], today: date, units: Units) -> Table:
    near = [each for each in nights if -4 <= (each.day - today).days <= 7]
    rows = tuple(
        Row(
            f"{short_day(each.day)}{' (ahead)' if each.ahead else ''}",
            (
                hours_band(each.wet_h_lower),
                hours_band(each.wet_h_upper),
                water_words(each.rain_mm.mid, units),
                nights_like_this(each.chance_frac).removeprefix("in 10 nights like this, "),
            ),
        )
        for each in near
    )
    return Table(
        "The nights around today, noon to noon",
        ("Evening of", "Wet hours, low leaves", "Wet hours, high leaves", "Rain", "Of 10 such, enough to matter"),
        rows,
        note="Enough to matter: if spores were about, enough of those on the leaf would get in.",
        detail=True,
    )


def _on(days: tuple[date, date], today: date) -> str:
    listed_days = days_listed(days, today)
    return listed_days.replace("today and ", "today and on ") if today in days else f"on {listed_days}"


def _notes(planting: PlantingWeek, today: date) -> tuple[str, ...]:
    soil = planting.soil
    dry = (
        f"the plants feel it in {counted(soil.dry_in_days, 'day', 'days')} without rain or water"
        if soil.dry_in_days is not None
        else "enough for a fortnight"
    )
    notes = [f"{planting.host_name}, {counted(planting.clumps, 'clump', 'clumps')}; {planting.rust_name}."]
    if planting.estimate and planting.estimate.origin:
        notes.append(origin_words(planting.estimate.origin))
    if planting.look_days and planting.look_leaves:
        notes.append(f"Turn {leaves_words(planting.look_leaves)}, {_on(planting.look_days, today)}.")
    if planting.next_showing:
        notes.append(f"If spores were about, the next to show comes {band_words(planting.next_showing)}.")
    notes.append(
        f"The coming week: {nights_like_this(planting.next_week_chance_frac).replace('nights', 'weeks')} "
        "bring a night wet enough to matter."
    )
    notes.append(f"Soil water: {share_words(soil.available_frac)} of what it can hold; {dry}.")
    if planting.borrowed:
        notes.append(BORROWED_NOTE.format(rust=planting.rust_name))
    return tuple(notes)
