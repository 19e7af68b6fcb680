"""All plantings in one table, the most pressing first."""

from collections.abc import Sequence

from abaxial.report.answers.week import PlantingWeek
from abaxial.report.blocks import Row, Table
from abaxial.report.words.dates import short_band, short_span
from abaxial.report.words.likelihood import tenths_short
from abaxial.report.words.quantities import amount_band
from abaxial.report.words.seen.shares import percent_cell
from abaxial.report.words.tasks import ranks_words

_CAPTION = "All plantings, the most pressing first"
_WEEK = "Wet week ahead: the chance of a night in the next seven wet enough to matter."
_BORROWED = " † Dates borrowed from related rusts: a guide only."


def index_of(plantings: Sequence[PlantingWeek]) -> Table:
    """One row for each planting; what shows and hides as shares of leaf area where that is reckoned."""
    return _by_share(plantings) if any(each.estimate for each in plantings) else _by_nights(plantings)


def _by_share(plantings: Sequence[PlantingWeek]) -> Table:
    rows = tuple(
        Row(
            _name(each),
            (
                each.bed,
                _look_days(each),
                percent_cell(each.estimate.showing_frac) if each.estimate else "–",
                percent_cell(each.estimate.latent_frac) if each.estimate else "–",
                short_band(each.next_showing) if each.next_showing else "–",
                tenths_short(each.next_week_chance_frac),
            ),
            anchor=f"planting-{number}",
        )
        for number, each in enumerate(plantings, start=1)
    )
    return Table(
        _CAPTION,
        ("Planting", "Bed", "Turn leaves", "Shows now", "Hidden now", "Should show", "Wet week ahead"),
        rows,
        note="Shows, hidden: share of leaf area; in brackets, eight times in ten. Should show: the next of what wet nights "
        f"let in, if spores were about. {_WEEK}{_borrowed(plantings)}",
        spare="Bed",
    )


def _by_nights(plantings: Sequence[PlantingWeek]) -> Table:
    rows = tuple(
        Row(
            _name(each),
            (
                each.bed,
                _look_days(each),
                ranks_words(each.look_leaves) if each.look_days and each.look_leaves else "–",
                amount_band(each.latent_nights),
                short_band(each.next_showing) if each.next_showing else "–",
                tenths_short(each.next_week_chance_frac),
            ),
            anchor=f"planting-{number}",
        )
        for number, each in enumerate(plantings, start=1)
    )
    return Table(
        _CAPTION,
        ("Planting", "Bed", "Turn leaves", "Which", "Hidden now", "Should show", "Wet week ahead"),
        rows,
        note="Which: counted down from the youngest open leaf. Hidden now: if spores were about, how many full nights’ "
        f"worth is in the leaf and not yet showing; in brackets, eight times in ten. {_WEEK}{_borrowed(plantings)}",
        spare="Bed",
    )


def _name(planting: PlantingWeek) -> str:
    return planting.planting + (" †" if planting.borrowed else "")


def _look_days(planting: PlantingWeek) -> str:
    return short_span(*planting.look_days) if planting.look_days else "not yet"


def _borrowed(plantings: Sequence[PlantingWeek]) -> str:
    return _BORROWED if any(each.borrowed for each in plantings) else ""
