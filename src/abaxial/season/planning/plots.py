"""Every planting with its rust as a plot: its leaves, its rain, and what was done to it so far."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

from abaxial import hours
from abaxial.garden.parts import Planting
from abaxial.infection import outlook
from abaxial.journal.fold import Descent
from abaxial.journal.shelf.treatment import Treatment
from abaxial.label.sanitation.disposal import left_in_garden
from abaxial.microclimate import nights
from abaxial.plan.prospects.plot import Plot, work
from abaxial.remedy.application import Application
from abaxial.remedy.material import Material, material_keys, read_material
from abaxial.season.planning.moved import stand_as
from abaxial.season.planting_week import Here
from abaxial.season.stand import Sky


def materials_of(folder: str) -> Mapping[str, Material]:
    """Everything that can be in a bottle, by key: ours and the garden's own."""
    return {key: read_material(key, Path(folder)) for key in material_keys(Path(folder))}


def plots_of(
    sky: Sky,
    here: Sequence[Here],
    done: Sequence[Treatment],
    materials: Mapping[str, Material],
    moved: Sequence[Descent],
) -> tuple[Plot, ...]:
    """The plots of the plantings whose rust is known, in order. moved : plantings that were, as they began."""
    temperature_c = nights.daily_mean(sky.ensemble.temperature_c.mean(axis=1), sky.when)
    rain_mm = nights.daily_sum(sky.ensemble.rain_mm, sky.when).T
    was_done = [replace(each, plantings=stand_as(each.plantings, each.on, moved)) for each in done]
    plots = []
    for each in here:
        planting = each.stand.planting
        plots.append(
            Plot(
                species=each.stand.species,
                temperature_c=temperature_c,
                rain_mm=rain_mm,
                since_day=row_of(planting.since, sky),
                clumps=planting.clumps,
                spacing_m=planting.spacing_m,
                latent_d=outlook.latent_period_d(each.nights, sky.today),
                cut_down=_rows(planting.cut_down, sky),
                low_leaves_off=_rows(planting.low_leaves_off, sky),
                rusted_leaves_off=tuple(row for row in _rows(planting.rusted_leaves_off, sky) if 0 <= row < sky.days),
                left_frac=_left(planting, sky),
                sprayed=tuple(_applications(planting.name, was_done, sky, materials)),
            )
        )
    return tuple(plots)


def row_of(on: date, sky: Sky) -> int:
    """The garden day whose noon lies on a date; what is done on it precedes the night that follows."""
    return hours.day_of(on) - sky.when.first_day


def _rows(dates: Sequence[date], sky: Sky) -> tuple[int, ...]:
    return tuple(row_of(each, sky) for each in dates)


def _left(planting: Planting, sky: Sky) -> Mapping[int, float]:
    """What stayed lying of what was taken off; where nobody said, it was bagged."""
    said = {each.on: left_in_garden(each.way).value for each in planting.disposals}
    taken = {*planting.cut_down, *planting.low_leaves_off, *planting.rusted_leaves_off}
    usual = work()["left_frac"].value
    return {row_of(on, sky): said.get(on, usual) for on in taken if 0 <= row_of(on, sky) < sky.days}


def _applications(
    name: str, done: Sequence[Treatment], sky: Sky, materials: Mapping[str, Material]
) -> Sequence[Application]:
    """What was sprayed on a planting and is known to act on rust. Of a home brew nothing is credited."""
    lower, upper = (work()[f"cover_{level}_frac"].value for level in ("lower", "upper"))
    found = []
    for each in done:
        keys = tuple(key for key in each.actives if key in materials and materials[key].acts_on_rust)
        row = row_of(each.on, sky)
        if name in each.plantings and keys and not each.home_brew and 0 <= row < sky.days:
            covers = (each.cover_lower_frac, each.cover_upper_frac)
            low, high = (usual if said is None else said for said, usual in zip(covers, (lower, upper), strict=True))
            found.append(Application(row, keys, 1.0, low, high))
    return found
