"""One mix for one bed: everything a person needs, or what stands in the way."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime

from abaxial.errors import RequestError
from abaxial.garden.parts import Garden
from abaxial.label import precautions, rules
from abaxial.label.bottle import Bottle
from abaxial.label.done import Done, done_of
from abaxial.label.mixing.card import Hindrance, MixCard, NoMix, mix_card
from abaxial.label.mixing.card import Step as CardStep
from abaxial.label.mixing.from_label import product_of
from abaxial.label.mixing.habits import read_habits
from abaxial.label.mixing.job import Job
from abaxial.label.precautions import Known
from abaxial.label.window.limits import read_limits
from abaxial.report.answers.mix import MixAnswer
from abaxial.report.answers.plan import Dose, Mix
from abaxial.report.answers.reason import Reason
from abaxial.season.planning import law
from abaxial.season.planning.law import Ground
from abaxial.season.present import Told, passport_of, told_by
from abaxial.season.tending.grounds import Tended, asked_around, bottle_called, planting_called, tended, unknown_of


def mixing(
    garden: Garden,
    *,
    at: datetime,
    bottles: Sequence[str],
    plantings: Sequence[str],
    tank_l: float | None = None,
    told: Told | None = None,
) -> MixAnswer:
    """The card for putting some bottles, in one tank, on some plantings of one bed.

    tank_l : of the sprayer, above 0; None for what the gardener set. Raises RequestError for a bottle that is not there, and
    for plantings that one mix cannot serve; other arguments and errors as in `week.week`.
    """
    here = tended(garden, at, told_by(garden, at) if told is None else told)
    chosen = [bottle_called(each, here.now.told.bottles) for each in bottles]
    names = list(dict.fromkeys(planting_called(each, garden).name for each in plantings))
    grounds = _grounds(here, names)
    refused = _refused(chosen, grounds, here)
    card = None if refused else _card(chosen, grounds, tank_l)
    if isinstance(card, MixCard):
        refused = _refused(chosen, grounds, here, {each.bottle: each.whole for each in card.doses})
    mixed = card if isinstance(card, MixCard) and not refused else None
    labels = [each.label for each in chosen if each.label is not None]
    return MixAnswer(
        garden=garden.name,
        invented=garden.invented,
        today=here.today,
        planting=" and ".join(names),
        bed=grounds[0].here.stand.bed.name,
        bottles=tuple(each.key for each in chosen),
        ground_m2=sum(each.plot.ground_m2 for each in grounds),
        leaf_area_m2=sum(each.leaf_area_m2 for each in grounds),
        mix=None if mixed is None else mix_of(mixed),
        hindrances=_told(card.hindrances) if isinstance(card, NoMix) else (),
        refusals=refused,
        notes=() if mixed is None else tuple(Reason(each, {}) for each in mixed.volume.notes),
        wear=tuple(dict.fromkeys(gear for each in labels for gear in each.protective)) if mixed else (),
        precautions=() if mixed is None else tuple(_precautions(chosen, grounds, here, mixed)),
        unknown=unknown_of(here),
        passport=passport_of(here.now),
    )


def mix_of(card: MixCard) -> Mix:
    """A card as it is told."""
    return Mix(
        tankfuls=card.tankfuls,
        tankful_l=card.tankful_l,
        whole_l=card.tankfuls * card.tankful_l,
        left_over_l=card.left_over_l,
        doses=tuple(Dose(each.bottle, each.unit, each.per_tankful, each.whole) for each in card.doses),
        steps=_told(card.steps),
    )


def _told(kinds: Sequence[Hindrance | CardStep]) -> tuple[Reason, ...]:
    return tuple(Reason(each.kind, each.details) for each in kinds)


def _grounds(here: Tended, names: Sequence[str]) -> list[Ground]:
    """The grounds of some plantings. Raises RequestError where one mix cannot serve them."""
    by_name = {each.here.stand.planting.name: each for each in here.grounds}
    if not by_name and here.now.known.nothing is not None:
        raise RequestError(
            "How much leaf there is cannot be known without weather.", remedy="Add some: abaxial weather fetch, or add."
        )
    for each in names:
        if each not in by_name:
            raise RequestError(f"No rust is known of {each}, so nothing is mixed against it.", remedy="Name another.")
        if by_name[each].leaf_area_m2 <= 0.0:
            raise RequestError(f"{each} has no leaves to spray today.", remedy="Wait until leaves stand.", where=each)
    grounds = [by_name[each] for each in names]
    beds = list(dict.fromkeys(each.here.stand.bed.name for each in grounds))
    if len(beds) > 1:
        raise RequestError(
            f"These stand in {len(beds)} beds: {', '.join(beds)}.",
            remedy="Ask bed by bed: what lies around each decides what may be sprayed there.",
        )
    return grounds


def _refused(
    bottles: Sequence[Bottle], grounds: Sequence[Ground], here: Tended, whole: Mapping[str, float] | None = None
) -> tuple[Reason, ...]:
    """What stands against it today. whole : product that goes on all grounds together; None for what the leaves take."""
    found: dict[tuple[str, str], Reason] = {}
    total_m2 = sum(each.leaf_area_m2 for each in grounds)
    for ground in grounds:
        history: list[Done] = list(here.law.history)
        for bottle in bottles:
            part = None if whole is None else whole[bottle.key] * ground.leaf_area_m2 / total_m2
            if bottle.kind == "home_brew":
                found[bottle.key, "home_brew"] = Reason("home_brew", {"bottle": bottle.key})
                continue
            site = here.site(ground, bottle, part)
            for each in rules.refusals(bottle, site, here.today, history, here.law.rules, here.law.materials):
                found.setdefault((f"{bottle.key}/{site.planting}", each.kind), Reason(each.kind, each.details))
            history.append(done_of(bottle, site, here.today, here.law.materials))
    return (*asked_around(grounds[0]), *found.values())


def _card(bottles: Sequence[Bottle], grounds: Sequence[Ground], tank_l: float | None) -> MixCard | NoMix:
    job = Job(
        sum(each.plot.ground_m2 for each in grounds),
        sum(each.leaf_area_m2 for each in grounds),
        grounds[0].tank_l if tank_l is None else tank_l,
        law.facts_of(grounds[0].here.stand.bed),
    )
    return mix_card(tuple(product_of(each) for each in bottles), job, read_habits(), read_limits())


def _precautions(bottles: Sequence[Bottle], grounds: Sequence[Ground], here: Tended, card: MixCard) -> Iterator[Reason]:
    """Those of each product with its numbers, those of the card, and what to think about."""
    told: dict[str, set[str]] = {}
    for bottle in bottles:
        contents = here.law.contents(bottle)
        known = Known(here.law.rules, bottle.label, contents)
        for each in precautions.precautions_for(precautions.works_of(contents), known):
            if str(each.details) not in told.setdefault(each.kind, set()):
                told[each.kind].add(str(each.details))
                yield Reason(each.kind, each.details)
    yield from (Reason(each, {}) for each in card.cautions if each not in told)
    for bottle in bottles:
        for ground in grounds:
            site = here.site(ground, bottle)
            found = rules.warnings(bottle, site, here.today, here.law.history, here.law.rules, here.law.materials)
            yield from (Reason(each.kind, each.details) for each in found)
