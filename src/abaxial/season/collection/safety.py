"""Safety divisions tried out: one clump more in every bed with room, run through the same season with all the others."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import NamedTuple

from abaxial.collection import held
from abaxial.collection.safety import safety_divisions
from abaxial.collection.stock import Floats, even_weights
from abaxial.errors import RequestError
from abaxial.garden.parts import Garden, Planting
from abaxial.report.answers.stock import SafetyBed, SafetyDivisions

#: stands before the bed in the name of a clump that is only tried out; no gardener's name holds it
_TRIAL = "\u2060trial in "


class Wanted(NamedTuple):
    """A cultivar to be made safe. level_frac : chance of healthy stock that is wanted, None for ours. most : divisions one is
    ready to make, None for ours."""

    cultivar: str
    level_frac: float | None = None
    most: int | None = None


def cultivar_of(planting: Planting) -> str:
    """The cultivar of a planting; where nobody said, its kind of plant."""
    return planting.cultivar or planting.host


def is_trial(planting: Planting) -> bool:
    """Whether a planting is only tried out."""
    return planting.name.startswith(_TRIAL)


def with_trials(garden: Garden, wanted: Wanted, today: date) -> Garden:
    """The garden with one clump more of a cultivar in every bed that has room for it. Raises RequestError where none has."""
    kind = next(each for each in garden.plantings if cultivar_of(each) == wanted.cultivar)
    trials = [
        replace(
            kind, name=f"{_TRIAL}{bed.name}", bed=bed.name, clumps=1, since=today, cut_down=(), low_leaves_off=(),
            rusted_leaves_off=(), disposals=(),
        )
        for bed in garden.beds
        if room_in(garden, bed.name, kind.spacing_m)
    ]  # fmt: skip
    if not trials:
        raise RequestError(
            f"No bed has room for another clump of {wanted.cultivar}.", remedy="Lay another bed, or a pot, and say so."
        )
    return replace(garden, plantings=(*garden.plantings, *trials))


def divisions(
    wanted: Wanted,
    garden: Garden,
    none_left: Floats,
    mothers: Mapping[str, Floats],
    trials: Sequence[tuple[Planting, Floats]],
) -> SafetyDivisions:
    """The fewest divisions that make a cultivar safe, and the beds for them.

    garden : without trials. none_left : (versions,) chance that nothing healthy of it is left without any. mothers : planting
    of it to the chance that a clump of it is clean now, (versions,). trials : one in each bed with room, with the chance
    that it is clean at the end, if it was when it was planted.
    """
    values = held.read_stock_values()
    mother = max(mothers, key=lambda name: float(mothers[name].mean()))
    level = values["level_frac"].value if wanted.level_frac is None else wanted.level_frac
    places = held.some_in_each(
        [mothers[mother] * stays for _, stays in trials],
        [room_in(garden, each.bed, each.spacing_m) for each, _ in trials],
        [each.bed for each, _ in trials],
    )
    found = safety_divisions(
        none_left,
        places,
        level_frac=level,
        most=int(values["most_divisions"].value) if wanted.most is None else wanted.most,
        weight_frac=even_weights(none_left.size),
    )
    return SafetyDivisions(
        mother=mother,
        level_frac=level,
        beds=tuple(SafetyBed(bed, count) for bed, count in zip(places.beds, found.counts, strict=True) if count),
        healthy_frac=found.healthy_frac,
        without_frac=found.without_frac,
        enough=found.enough,
        proven=found.proven,
    )


def room_in(garden: Garden, bed: str, spacing_m: float) -> int:
    """How many more clumps find room in a bed. spacing_m : between them."""
    taken_m2 = sum(each.clumps * each.spacing_m**2 for each in garden.plantings if each.bed == bed)
    area_m2 = next(each.area_m2 for each in garden.beds if each.name == bed)
    return max(int((area_m2 - taken_m2) / spacing_m**2), 0)
