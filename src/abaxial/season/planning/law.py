"""What the labels and the state of every planting leave open."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import NamedTuple

from abaxial.garden.parts import Bed
from abaxial.host.species import is_eaten
from abaxial.journal.fold import Descent
from abaxial.journal.shelf.treatment import Treatment
from abaxial.label import limits as label_limits
from abaxial.label.bottle import Bottle, missing
from abaxial.label.done import Done, Site
from abaxial.label.mixing.card import NoMix, mix_card
from abaxial.label.mixing.from_label import product_of
from abaxial.label.mixing.habits import read_habits
from abaxial.label.mixing.job import Job
from abaxial.label.rules import Refusal
from abaxial.label.window.limits import read_limits
from abaxial.label.window.site import SiteFacts, unasked
from abaxial.plan.prospects.labour import SprayNeed
from abaxial.plan.prospects.permit import Law
from abaxial.plan.prospects.permit import Standing as Open
from abaxial.plan.prospects.plot import Plot
from abaxial.remedy.material import Material
from abaxial.report.answers.week import Reason
from abaxial.season import story
from abaxial.season.planning.moved import stand_as
from abaxial.season.planting_week import Here
from abaxial.season.present import Told

#: a plant so short a time in the ground is newly planted
NEWLY_D = 21
#: refusals by which a bottle is not for these plants or this rust, on any day
UNFIT = ("site_not_named", "site_excepted", "crop_not_named", "pest_not_named")
#: an oil is for an attack that shows on less of the leaf area than this, where no material says another
LIGHT_FRAC = 0.02


class Ground(NamedTuple):
    """One planting before it is asked what may be done. rusted_leaves : leaves on which rust shows, in all. showing_frac : middle of today's. tank_l : of the sprayer.
    flowers_open : in its bed; None where nobody knows."""

    here: Here
    plot: Plot
    leaf_area_m2: float
    showing_frac: float
    tank_l: float
    flowers_open: bool | None
    rusted_leaves: float = 0.0


def law_of(told: Told, materials: Mapping[str, Material]) -> Law:
    """The bottles that may be proposed at all, the rules, and what was done so far. Raises LabelError for a rule that would
    become looser."""
    own = {name: value for name, value in told.values.items() if name in label_limits.printed()}
    shelf = {each.key: each for each in told.bottles}
    history = [one for each in told.done if each.is_application for one in _done(each, shelf, materials, told.moved)]
    bottles = [each for each in told.bottles if each.kind != "home_brew"]
    return Law(bottles, history, label_limits.rules_from(own, where="the values you set"), materials)


def _done(
    treatment: Treatment, shelf: Mapping[str, Bottle], materials: Mapping[str, Material], moved: Sequence[Descent]
) -> list[Done]:
    """The record of a treatment, planting by planting; one that was moved since has its own, with the same share. What the label
    says of days to come counts where its bottle still stands on the shelf."""
    bottle = shelf.get(treatment.bottle)
    label = bottle.label if bottle is not None else None
    known = [materials[key] for key in treatment.actives if key in materials]
    codes = {*treatment.codes, *(code for each in known for code in each.codes)}
    kinds = ("home_brew",) if treatment.home_brew else tuple(sorted({each.kind for each in known}))
    share = 1.0 / max(len(treatment.plantings), 1)
    product = treatment.product_ml if treatment.product_ml is not None else treatment.product_g or 0.0
    return [
        Done(
            on=treatment.on,
            planting=name,
            bottle=treatment.bottle,
            codes=() if treatment.home_brew else tuple(sorted(codes)),
            kinds=kinds,
            product_ml=product * share,
            area_m2=(treatment.area_m2 or 0.0) * share,
            actives=treatment.actives,
            product=treatment.registration or treatment.bottle,
            interval_d=(label.interval_d or 0) if label is not None else 0,
            reentry_h=(label.reentry_h or 0.0) if label is not None else 0.0,
            ended=None if treatment.ended is None else treatment.ended.replace(tzinfo=None),
            most_applications=label.most_applications if label is not None else None,
            most_over_d=label.most_over_d if label is not None else 365,
        )
        for name in stand_as(treatment.plantings, treatment.on, moved)
    ]


def facts_of(bed: Bed) -> SiteFacts:
    """What lies around a bed, as far as anybody said."""
    return SiteFacts(**vars(bed.surroundings))


def needs_of(ground: Ground, bottles: Sequence[Bottle]) -> tuple[Mapping[str, SprayNeed], tuple[Reason, ...]]:
    """What a spray of a planting with each bottle takes, and why some cannot be mixed for it. A bottle whose label is not
    written down, or a bed with open questions, has nothing here; it is asked about."""
    stand = ground.here.stand
    facts = facts_of(stand.bed)
    if unasked(facts) or ground.leaf_area_m2 <= 0.0 or ground.plot.ground_m2 <= 0.0:
        return {}, ()
    job = Job(ground.plot.ground_m2, ground.leaf_area_m2, ground.tank_l, facts)
    found: dict[str, SprayNeed] = {}
    hindered = []
    for each in bottles:
        if missing(each) or each.label is None or each.label.rate is None:
            continue
        card = mix_card((product_of(each),), job, read_habits(), read_limits())
        if isinstance(card, NoMix):
            first = card.hindrances[0]
            hindered.append(Reason(first.kind, {"bottle": each.key, "planting": stand.planting.name, **first.details}))
        else:
            found[each.key] = SprayNeed(card.tankfuls * card.tankful_l, card.doses[0].whole)
    return found, tuple(hindered)


def open_of(ground: Ground, law: Law, needs: Mapping[str, SprayNeed], today: date, weeks: int) -> Open:
    """How a planting stands: where each bottle would be put, and what needs none."""
    stand = ground.here.stand
    planting, bed, all_weeks = stand.planting, stand.bed, tuple(range(weeks))
    leafy = ground.leaf_area_m2 > 0.0
    names = (planting.name, planting.host, stand.species.name, stand.species.latin, planting.cultivar)
    rust = ground.here.biology.rust
    sites = {
        key: Site(
            planting=planting.name,
            names=tuple(name for name in names if name),
            pests=("rust", rust.name, rust.latin),
            edible=is_eaten(planting, stand.species),
            area_m2=ground.plot.ground_m2,
            product_ml=need.product,
            flowers_open=ground.flowers_open is True,
            newly_planted=(today - planting.since).days < NEWLY_D,
            water_m=bed.surroundings.fish_m,
        )
        for key, need in needs.items()
    }
    without = {
        "look": all_weeks,
        "rusted_leaves_off": all_weeks if leafy else (),
        "low_leaves_off": all_weeks if leafy else (),
        "thin": (0,) if planting.clumps > 1 and leafy and ground.plot.habits else (),
        "water_at_the_foot": (0,) if bed.watering.manner == "overhead" and ground.plot.habits else (),
        "cut_down": all_weeks if leafy else (),
        "clear_litter": all_weeks if leafy else (),
        "destroy": all_weeks,
    }
    return Open(sites, ground.showing_frac < _light_frac(law), without)


def asks_of(
    law: Law,
    grounds: Sequence[Ground],
    refused: Sequence[Mapping[str, Sequence[Refusal]]],
    unseen: Mapping[tuple[str, str], Sequence[str]],
) -> tuple[Reason, ...]:
    """What has to be told before more can be proposed: fields of labels, what lies around beds, whether flowers are open; and
    plantings that no bottle is labelled for. refused : of each planting, bottle to why not. unseen : bed and bottle to the
    plantings whose flowers alone it waits for."""
    if not law.bottles:
        return (Reason("shelf_empty", {}),)
    labels = [
        Reason("label_asked", {"bottle": each.key, "fields": missing(each)}) for each in law.bottles if missing(each)
    ]
    beds = {each.here.stand.bed.name: each.here.stand.bed for each in grounds}
    around = [
        Reason("bed_asked", {"bed": name, "questions": unasked(facts_of(bed))})
        for name, bed in beds.items()
        if unasked(facts_of(bed))
    ]
    whole = [each.key for each in law.bottles if not missing(each)]
    unfit = [
        Reason("no_bottle_fits", {"planting": ground.here.stand.planting.name, "rust": ground.here.biology.rust.name})
        for ground, reasons in zip(grounds, refused, strict=True)
        if whole and all(any(each.kind in UNFIT for each in reasons.get(key, ())) for key in whole)
    ]
    return (*labels, *around, *_flowers_asked(law, grounds, refused, unseen), *unfit)


def _flowers_asked(
    law: Law,
    grounds: Sequence[Ground],
    refused: Sequence[Mapping[str, Sequence[Refusal]]],
    unseen: Mapping[tuple[str, str], Sequence[str]],
) -> list[Reason]:
    """The plantings to look at for open flowers, with the bottles that are known, allowed and wait for it."""
    allowed = {
        (ground.here.stand.bed.name, each.key)
        for ground, reasons in zip(grounds, refused, strict=True)
        for each in law.bottles
        if not missing(each) and not reasons.get(each.key)
    }
    waiting = {where: names for where, names in unseen.items() if names and where in allowed}
    if not waiting:
        return []
    plantings = tuple(dict.fromkeys(name for names in waiting.values() for name in names))
    bottles = tuple(dict.fromkeys(bottle for _, bottle in waiting))
    return [Reason("flowers_asked", {"plantings": plantings, "bottles": bottles})]


def _light_frac(law: Law) -> float:
    said = [
        law.materials[key]["most_rusted_frac"]
        for each in law.bottles
        for key in law.contents(each).actives
        if key in law.materials and "most_rusted_frac" in law.materials[key].numbers
    ]
    return min(said, default=LIGHT_FRAC)


def days_of_work(weekdays: Sequence[int], today: date, weeks: int) -> tuple[tuple[date, ...], ...]:
    """The dates of each week on which the gardener is there, from today on."""
    return tuple(
        tuple(day for ahead in range(7) if (day := story.days_after(today, 7 * week + ahead)).weekday() in weekdays)
        for week in range(weeks)
    )
