"""What was seen and what is therefore probably there, in tables: the weeks ahead, the looks, what the walks have taught."""

from collections.abc import Sequence
from datetime import date, timedelta

from abaxial.report.answers.week import DayEstimate, Estimate, Learned, Look, Origin, PastForecasts, Reason
from abaxial.report.blocks import Row, Table
from abaxial.report.words.dates import day_words, short_day
from abaxial.report.words.facts import Facts
from abaxial.report.words.quantities import counted
from abaxial.report.words.seen.learned import narrowed_factor, past_words, said_words, unknown_words, value_words
from abaxial.report.words.seen.moved import AMOUNTS
from abaxial.report.words.seen.shares import about_percent, percent_cell, plain_percent
from abaxial.report.words.seen.walks import part_words

_WEEKS = 6
_MOST_LEARNED = 12


def forecast_table(estimate: Estimate, today: date) -> Table | None:
    """Today and one to six weeks ahead, with nothing done; None where no day ahead is reckoned."""
    by_day = {each.day: each for each in estimate.days}
    days = [by_day.get(today + timedelta(days=7 * week)) for week in range(_WEEKS + 1)]
    rows = tuple(_forecast_row(each, today) for each in days if each is not None)
    if not any(each is not None and each.day > today for each in days):
        return None
    return Table(
        "The weeks ahead, with nothing done",
        ("Day", "Shows, of leaf area", "Hidden, of leaf area", "Leaves with rust"),
        rows,
        note="The middle, and in brackets the limits between which it lies eight times in ten.",
        wide=True,
    )


def _forecast_row(each: DayEstimate, today: date) -> Row:
    head = "today" if each.day == today else short_day(each.day)
    return Row(head, tuple(percent_cell(band) for band in (each.showing_frac, each.latent_frac, each.incidence_frac)))


def looks_table(estimate: Estimate) -> Table | None:
    """Every look at a planting, oldest first; None where nobody looked."""
    if not estimate.looks:
        return None
    strange = {Facts(each.details, "metric").day("on") for each in estimate.against}
    rows = tuple(_look_row(each, hard=each.on in strange) for each in estimate.looks)
    return Table(
        "What the walks found",
        ("Day", "Part", "Leaves turned", "With rust", "Share of leaves", "Leaf area"),
        rows,
        note="Share of leaves: what this look alone would say of all of them; in brackets, eight times in ten."
        + (" * Hard to believe by our reckoning: see why." if strange else ""),
        detail=True,
    )


def _look_row(look: Look, *, hard: bool) -> Row:
    rusted = (
        f"{look.rusted}" if look.rusted is not None else AMOUNTS.get(look.amount, "–").removesuffix(", not counted")
    )
    return Row(
        short_day(look.on) + (" *" if hard else ""),
        (
            part_words(look.part),
            f"{look.turned}" if look.turned is not None else "–",
            rusted,
            percent_cell(look.incidence) if look.incidence else "–",
            plain_percent(look.severity_frac) if look.severity_frac is not None else "–",
        ),
    )


def origin_words(origin: Origin) -> str:
    """Where the spores of the last infections came from, in one line."""
    return (
        f"Spores of what came in over the last three weeks: {about_percent(origin.own_frac)} from its own leaves, "
        f"{about_percent(origin.neighbours_frac)} from its neighbours, {about_percent(origin.outside_frac)} from outside "
        "the garden."
    )


def figure_words(estimate: Estimate, today: date) -> str:
    """What stands above the line of the figure, for a reader who cannot see it."""
    later = next((each for each in estimate.days if each.day == today + timedelta(days=14)), None)
    shows = f"Today {about_percent(estimate.showing_frac, 'of the leaf area')} shows rust"
    hides = f"{about_percent(estimate.latent_frac)} is hidden"
    ahead = f"; in a fortnight {about_percent(later.showing_frac)} would show with nothing done" if later else ""
    return f"{shows}, {hides}{ahead}. {_looks_words(estimate.looks)}"


def _looks_words(looks: Sequence[Look]) -> str:
    if not looks:
        return "Nobody has looked yet."
    last = looks[-1]
    older = f"; {counted(len(looks) - 1, 'look', 'looks')} before that" if len(looks) > 1 else ""
    return f"Last seen on {day_words(last.on)}: {_found_words(last)}{older}."


def _found_words(look: Look) -> str:
    if look.turned is not None and look.rusted is not None:
        return f"{look.rusted} of {counted(look.turned, 'leaf', 'leaves')} with rust"
    if look.severity_frac is not None:
        return f"{plain_percent(look.severity_frac)} of the leaf area"
    return AMOUNTS.get(look.amount, "looked at")


def learned_table(learned: Sequence[Learned], past: PastForecasts | None = None) -> Table | None:
    """What the walks have taught of the garden's own numbers, before beside after; None where nothing is reckoned. Of
    many, those are shown of which the walks said most."""
    if not learned:
        return None
    told = set(sorted(learned, key=narrowed_factor)[:_MOST_LEARNED])
    rows = tuple(
        Row(
            unknown_words(each),
            (value_words(each.prior, each.unit), value_words(each.posterior, each.unit), said_words(each)),
        )
        for each in learned
        if each in told
    )
    more = len(learned) - len(rows)
    return Table(
        "What the walks have taught",
        ("This garden’s own number", "Before any walk", "Now", "What the walks said"),
        rows,
        note="In brackets, eight times in ten it lies between these. Where the two are alike, the walks have said nothing "
        "of it, and we think what we thought before."
        + (f" Of {more} more the walks have said less; `abaxial week --json` names them all." if more else "")
        + (f" {past_words(past)}" if past else ""),
        wide=True,
    )


def why_of(estimate: Estimate | None) -> tuple[Reason, ...]:
    """What speaks against an estimate, then what moved it."""
    return () if estimate is None else (*estimate.against, *estimate.moved)
