"""The shelf: every bottle, what is left, what its label lacks, when it may be used next on which planting."""

from collections.abc import Iterator
from datetime import datetime

from abaxial.garden.parts import Garden
from abaxial.label import rules
from abaxial.label.bottle import Bottle, missing
from abaxial.report.answers.reason import Reason
from abaxial.report.answers.shelf import NextUse, ShelfAnswer, ShelfBottle
from abaxial.season import story
from abaxial.season.planning.law import NEWLY_D, Ground
from abaxial.season.present import Told, passport_of, told_by
from abaxial.season.tending.grounds import Tended, asked_around, tended, unknown_of

#: how many days ahead are looked at; later ones hang on what is done until then
AHEAD_D = 42
#: rules that are near; what a bottle may harm is told with every task it is used for
_NEAR = ("last_of_its_code", "last_of_the_year", "better_apart", "wait_before_eating")


def shelf(garden: Garden, *, at: datetime, told: Told | None = None) -> ShelfAnswer:
    """The shelf of a garden at a moment. Arguments and errors as in `week.week`."""
    here = tended(garden, at, told_by(garden, at) if told is None else told)
    uses = {
        bottle.key: tuple(_next_use(bottle, ground, here) for ground in here.grounds) for bottle in here.law.bottles
    }
    return ShelfAnswer(
        garden=garden.name,
        invented=garden.invented,
        today=here.today,
        bottles=tuple(_bottle(each, uses.get(each.key, ()), here) for each in here.now.told.bottles),
        warnings=tuple(_near(here)),
        unknown=unknown_of(here),
        passport=passport_of(here.now),
    )


def _bottle(bottle: Bottle, uses: tuple[NextUse, ...], here: Tended) -> ShelfBottle:
    contents = here.law.contents(bottle)
    return ShelfBottle(
        bottle=bottle.key,
        kind=bottle.kind,
        actives=contents.actives,
        codes=contents.codes,
        left=bottle.left,
        unit="g" if bottle.label is not None and bottle.label.form == "powder" else "ml",
        use_before=bottle.use_before,
        missing=missing(bottle),
        uses=uses,
    )


def _next_use(bottle: Bottle, ground: Ground, here: Tended) -> NextUse:
    stands_in_the_way = (*asked_around(ground), *here.hindered(ground, bottle))
    against = _against(bottle, ground, here, 0)
    name = ground.here.stand.planting.name
    if stands_in_the_way:
        return NextUse(name, None, (*stands_in_the_way, *against))
    ahead = next((days for days in range(AHEAD_D) if not _against(bottle, ground, here, days)), None)
    return NextUse(name, None if ahead is None else story.days_after(here.today, ahead), against)


def _against(bottle: Bottle, ground: Ground, here: Tended, ahead_d: int) -> tuple[Reason, ...]:
    """What stands against a use some days ahead."""
    on = story.days_after(here.today, ahead_d)
    newly = (on - ground.here.stand.planting.since).days < NEWLY_D
    site = here.site(ground, bottle)._replace(newly_planted=newly)
    found = rules.refusals(bottle, site, on, here.law.history, here.law.rules, here.law.materials)
    return tuple(Reason(each.kind, each.details) for each in found)


def _near(here: Tended) -> Iterator[Reason]:
    """What to mind where a bottle may be used today."""
    for bottle in here.law.bottles:
        for ground in here.grounds:
            if asked_around(ground) or _against(bottle, ground, here, 0):
                continue
            site = here.site(ground, bottle)
            found = rules.warnings(bottle, site, here.today, here.law.history, here.law.rules, here.law.materials)
            yield from (Reason(each.kind, each.details) for each in found if each.kind in _NEAR)
