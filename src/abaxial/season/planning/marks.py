"""What was done about rust in a planting, as its figure shows it."""

from collections.abc import Mapping, Sequence
from datetime import date

from abaxial.journal.fold import Descent
from abaxial.journal.shelf.treatment import Treatment
from abaxial.remedy.material import Material
from abaxial.report.answers.week import RemedyMark
from abaxial.season import story
from abaxial.season.planning.moved import stand_as

#: how a plan calls what a journal calls otherwise
_KINDS = {
    "destroyed": "destroy",
    "thinned": "thin",
    "watered_otherwise": "water_at_the_foot",
    "litter_cleared": "clear_litter",
    **{kind: kind for kind in ("oil", "fungicide", "cut_down", "low_leaves_off", "rusted_leaves_off")},
}
_TO_THE_GROUND = ("cut_down", "destroy")


def marks_of(
    planting: str,
    done: Sequence[Treatment],
    materials: Mapping[str, Material],
    since: date,
    moved: Sequence[Descent] = (),
) -> tuple[RemedyMark, ...]:
    """The marks of one planting from a date on. A spray keeps rust out for its material's interval; of a home brew nothing is
    credited, and nothing shown. moved : plantings that were, as they began; what was done on them before goes with them."""
    return tuple(
        _mark(each, [materials[key] for key in each.actives if key in materials])
        for each in done
        if each.on >= since and each.remedy in _KINDS and not each.home_brew and _was_done_on(planting, each, moved)
    )


def _was_done_on(planting: str, treatment: Treatment, moved: Sequence[Descent]) -> bool:
    """Whether plants that stand in a planting now had this done to them. What was cleared away did not move on."""
    own = treatment.plantings
    return planting in (own if treatment.remedy == "destroyed" else stand_as(own, treatment.on, moved))


def _mark(treatment: Treatment, known: Sequence[Material]) -> RemedyMark:
    kind = _KINDS[treatment.remedy]
    acting = [each for each in known if each.acts_on_rust]
    days = max((int(each["interval_d"]) for each in acting), default=0)
    return RemedyMark(
        on=treatment.on,
        kind=kind,
        bottle=treatment.bottle,
        until=story.days_after(treatment.on, days) if days else None,
        cures=kind in _TO_THE_GROUND or any(each.curative for each in acting),
    )
