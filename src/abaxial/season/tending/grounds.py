"""Every planting with its leaves and its law, as the small questions need it: without an estimate, and so at once."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from typing import NamedTuple

from abaxial import hours
from abaxial.errors import RequestError
from abaxial.garden.flowers import flowers_open_in
from abaxial.garden.parts import Garden, Planting
from abaxial.host.growth import Growth
from abaxial.journal.ground import key_of
from abaxial.label.bottle import Bottle
from abaxial.label.done import Site
from abaxial.label.window.site import unasked
from abaxial.plan.prospects.labour import SprayNeed
from abaxial.plan.prospects.permit import Law
from abaxial.report.answers.reason import Reason
from abaxial.season.opening.description import no_planting
from abaxial.season.planning import law
from abaxial.season.planning.ask import TANK_L
from abaxial.season.planning.law import Ground
from abaxial.season.planning.plots import materials_of, plots_of
from abaxial.season.present import Luck, Present, Told, present

#: a shelf, a mix or an hour does not depend on what the rust is like, so few versions of it do
FEWEST = Luck(draws=16)
_NOT_ASKED = float("nan")


class Tended(NamedTuple):
    """A garden at a moment. grounds : of the plantings whose rust is known; none where too little is known of the weather."""

    now: Present
    law: Law
    grounds: tuple[Ground, ...]
    today: date

    def needs(self, ground: Ground) -> Mapping[str, SprayNeed]:
        """What a spray of a planting takes of each bottle; of one that cannot be mixed, nothing."""
        known, _ = law.needs_of(ground, self.law.bottles)
        return {each.key: known.get(each.key, SprayNeed(0.0, 0.0)) for each in self.law.bottles}

    def hindered(self, ground: Ground, bottle: Bottle) -> tuple[Reason, ...]:
        """Why a bottle cannot be mixed for a planting, though it might be allowed there."""
        _, found = law.needs_of(ground, [bottle])
        return found

    def site(self, ground: Ground, bottle: Bottle, product: float | None = None) -> Site:
        """Where a bottle would be put. product : how much of it; None for what the leaves take today."""
        found = law.open_of(ground, self.law, self.needs(ground), self.today, 1).sites[bottle.key]
        return found if product is None else found._replace(product_ml=product)


def tended(garden: Garden, at: datetime, told: Told) -> Tended:
    """The garden as it is tended at a moment. Raises as `present.present` does, and LabelError for a rule made looser."""
    now = present(garden, at, told, FEWEST)
    materials = materials_of(garden.folder)
    today = hours.local_moment(hours.hour_of(at), garden.place.zone).date()
    return Tended(now, law.law_of(told, materials), _grounds(now), today)


def asked_around(ground: Ground) -> tuple[Reason, ...]:
    """What has to be asked about the bed of a planting before anything is sprayed there."""
    bed = ground.here.stand.bed
    questions = unasked(law.facts_of(bed))
    return (Reason("bed_asked", {"bed": bed.name, "questions": questions}),) if questions else ()


def unknown_of(tended_: Tended) -> tuple[Reason, ...]:
    """What cannot be known, and what the journal asks."""
    nothing = tended_.now.known.nothing
    cannot = () if nothing is None else (Reason("cannot_know", {**nothing.details, "what": "weather"}),)
    return (*cannot, *(Reason(each.kind, each.details) for each in tended_.now.told.questions))


def planting_called(name: str, garden: Garden) -> Planting:
    """The planting of that name, whatever the case of letters. Raises GardenError where there is none."""
    for each in garden.plantings:
        if key_of(each.name) == key_of(name):
            return each
    raise no_planting(name, [each.name for each in garden.plantings], where=garden.name)


def bottle_called(name: str, bottles: Sequence[Bottle]) -> Bottle:
    """The bottle of that name. Raises RequestError where none stands on the shelf under it."""
    for each in bottles:
        if key_of(each.key) == key_of(name):
            return each
    there = ", ".join(each.key for each in bottles)
    raise RequestError(
        f"There is no bottle called {name!r} on the shelf.",
        remedy=f"On it stand {there}." if there else "It is empty: write one down with abaxial note … material_bought.",
        where=name,
    )


def _grounds(now: Present) -> tuple[Ground, ...]:
    grown = now.grown
    if grown is None or not grown.here:
        return ()
    plots = plots_of(grown.sky, grown.here, now.told.done, materials_of(now.garden.folder), now.told.moved)
    today, tank_l = grown.sky.today, now.told.values.get("tank_l", TANK_L)
    return tuple(
        Ground(
            here,
            plot,
            _leaf_index(here.stand.growth, today) * plot.ground_m2,
            _NOT_ASKED,
            tank_l,
            flowers_open_in(here.stand.bed.name, now.garden.plantings, grown.sky.local_date),
        )
        for here, plot in zip(grown.here, plots, strict=True)
    )


def _leaf_index(leaves: Growth, today: int) -> float:
    return float(leaves.leaf_area_index_lower[today] + leaves.leaf_area_index_upper[today])
