"""All plantings in one table, the most pressing first."""

from collections.abc import Callable, Sequence

from abaxial.report.answers.week import PlantingWeek
from abaxial.report.blocks import Row, Table
from abaxial.report.words.dates import short_band, short_span
from abaxial.report.words.likelihood import tenths_short
from abaxial.report.words.quantities import amount_band
from abaxial.report.words.seen.shares import percent_cell
from abaxial.report.words.tasks import ranks_words

Pair = tuple[str, str]
_WEEK = "Wet week ahead: the chance of a night in the next seven wet enough to matter."
_BORROWED = " † Dates borrowed from related rusts: a guide only."


def index_of(plantings: Sequence[PlantingWeek]) -> Table:
    """One row for each planting; what shows and hides as shares of leaf area where that is reckoned."""
    if any(each.estimate for each in plantings):
        return _table(
            plantings,
            ("Shows now", "Hidden now"),
            _shares,
            "Shows, hidden: share of leaf area; in brackets, eight times in ten. Should show: the next of what wet nights "
            "let in, if spores were about.",
        )
    return _table(
        plantings,
        ("Which", "Hidden now"),
        _nights,
        "Which: counted down from the youngest open leaf. Hidden now: if spores were about, how many full nights’ worth "
        "is in the leaf and not yet showing; in brackets, eight times in ten.",
    )


def _table(plantings: Sequence[PlantingWeek], middle: Pair, cells: Callable[[PlantingWeek], Pair], note: str) -> Table:
    """middle : headings of the two columns between what to do and what is to come; cells : what stands in them."""
    rows = tuple(
        Row(
            _name(each),
            (
                each.bed,
                _look_days(each),
                *cells(each),
                short_band(each.next_showing) if each.next_showing else "–",
                tenths_short(each.next_week_chance_frac),
            ),
            anchor=f"planting-{number}",
        )
        for number, each in enumerate(plantings, start=1)
    )
    return Table(
        "All plantings, the most pressing first",
        ("Planting", "Bed", "Turn leaves", *middle, "Should show", "Wet week ahead"),
        rows,
        note=f"{note} {_WEEK}{_borrowed(plantings)}",
        spare="Bed",
    )


def _shares(planting: PlantingWeek) -> Pair:
    found = planting.estimate
    return (percent_cell(found.showing_frac), percent_cell(found.latent_frac)) if found else ("–", "–")


def _nights(planting: PlantingWeek) -> Pair:
    leaves = ranks_words(planting.look_leaves) if planting.look_days and planting.look_leaves else "–"
    return leaves, amount_band(planting.latent_nights)


def _name(planting: PlantingWeek) -> str:
    return planting.planting + (" †" if planting.borrowed else "")


def _look_days(planting: PlantingWeek) -> str:
    return short_span(*planting.look_days) if planting.look_days else "not yet"


def _borrowed(plantings: Sequence[PlantingWeek]) -> str:
    return _BORROWED if any(each.borrowed for each in plantings) else ""
