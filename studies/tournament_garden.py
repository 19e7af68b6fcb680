"""One season of the tournament as a garden that the ordinary commands open, everything in it received on its own day.

Each week's walk and what was seen of flowers come at eight in the morning, weather and forecast at noon, what was done at four
in the afternoon. So `abaxial week … --at DATE` for the date of a week asks at the moment at which the player decided.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, time
from pathlib import Path
from typing import Any

from abaxial import hours
from abaxial.garden import writing
from abaxial.garden.flowers import BELIEVED_D
from abaxial.garden.parts import Noted
from abaxial.journal.canonical import with_derived_id
from abaxial.journal.entries import Entry
from abaxial.journal.kinds import VERSION
from abaxial.journal.noticed import seen_of
from abaxial.label.contents import contents_of
from abaxial.plan.programmes.step import SPRAYS, Step
from abaxial.records.store import Store, open_store
from abaxial.season.opening.arriving import Writer, batch_of, lay_in, take_in
from abaxial.season.present import Told
from abaxial.season.tending import doing
from abaxial.season.tending.doing import Hour
from abaxial.season.tending.planned import Planned
from studies import tournament_skies as skies
from studies.tournament_climate import MATERIALS, setup
from studies.tournament_looks import Seen, sighting_of
from studies.tournament_player import Garden, bottle_named
from studies.tournament_scene import Scene

#: what of a season lies in its folder
FILE, SOURCES = "season.abaxial", "made_from"
_DEVICE = "the tournament"
_LAID_IN, _WALKED, _DONE = time(6), time(8), time(16)
#: there is enough of everything [ml or g]
_LEFT = 20_000
_HEAD = """\
# A season of the tournament, written by studies/tournament.py. ALL OF IT IS INVENTED: the place and its climate, the plants, their
# rusts, the weather, the bottles with their labels, whoever gardens there, and what he found. Nobody may spray by it.
"""


@dataclass(frozen=True)
class Season:
    """A season that was played. climate, player : their keys. weeks : as `tournament.play` gives them. why : week to what our plan said of it. came_to : what
    it came to, in lines."""

    scene: Scene
    climate: str
    player: str
    weeks: Sequence[tuple[int, Sequence[Seen], Sequence[tuple[int, Step]], float]]
    why: Mapping[int, Sequence[str]]
    came_to: Sequence[str]

    @property
    def says(self) -> str:
        """What it is called."""
        climate, player = setup()["climate"][self.climate], setup()["player"][self.player]
        return f"{climate['says']}, season {self.scene.number}, {player['says']}"


def write(season: Season, folder: Path) -> Path:
    """Write a season into a folder as a garden file, with what it was made from beside it, and give the file's path.

    Raises RecordsError where a garden lies there already; then that one is left as it is.
    """
    sources, file = folder / SOURCES, folder / FILE
    sources.mkdir(parents=True, exist_ok=True)
    (sources / "garden.toml").write_text(description_of(season), encoding="utf-8")
    begun = _at(season.scene, 0, _LAID_IN)
    lay_in(sources / "garden.toml", file, Writer(_who(season), _DEVICE, begun), received_at=begun)
    place = season.scene.climate.garden.place
    with open_store(file) as kept:
        for source, at in skies.written(skies.skies_of(season.scene), sources):
            batch = batch_of(source, sources, place, now=at, issued_at=at)
            take_in(kept, replace(batch, received_at=at))
        _keep(kept, [_entry(season, "values_set", begun, {"values": dict(setup()["losses"])})])
        amounts = Garden(season.scene)
        for week, found, done, _ in season.weeks:
            _keep(kept, list(_morning(season, week, found, amounts.gone)))
            _keep(kept, list(_afternoon(season, week, done, amounts)))
            amounts.act(week, done)
        end = _at(season.scene, season.scene.weeks, _WALKED)
        _keep(kept, [_entry(season, "note", end, {"text": "What the season came to: " + "; ".join(season.came_to)})])
    return file


def description_of(season: Season) -> str:
    """The garden with its shelf as TOML that a person can read; weather, walks and work are none of it."""
    bottles = tuple(Noted(_bottle(each)) for each in setup()["bottle"])
    name = f"The tournament: {season.climate}, season {season.scene.number}, {_called(season)} (invented)"
    garden = replace(season.scene.climate.garden, name=name, invented=True, bottles=bottles)
    return f"{_HEAD}# {season.says[:1].upper()}{season.says[1:]}.\n\n{writing.write_garden(garden)}"


def _bottle(said: Mapping[str, Any]) -> dict[str, object]:
    unit = "g" if said["label"]["form"] == "powder" else "ml"
    price = round(_LEFT * float(said["money_per_unit"]), 2)
    return {"name": said["name"], "left": f"{_LEFT} {unit}", "price": price, "label": said["label"]}


def _morning(season: Season, week: int, found: Sequence[Seen], gone: set[int]) -> Iterator[Entry]:
    """The walk, and that no flowers are open, which is believed for two weeks."""
    scene, at = season.scene, _at(season.scene, week, _WALKED)
    names = [each.planting.name for each in scene.climate.stands]
    seen = [
        seen_of(sighting_of(scene, place, scene.on(week), each)) for place, each in enumerate(found) if each.rusted >= 0
    ]
    if seen:
        yield _entry(season, "walked", at, {"seen": seen})
    if week % (BELIEVED_D // 7) == 0:
        for place, name in enumerate(names):
            if place not in gone:
                yield _entry(season, "flowering_seen", at, {"planting": name, "open": False})


def _afternoon(season: Season, week: int, done: Sequence[tuple[int, Step]], amounts: Garden) -> Iterator[Entry]:
    """What was done, and what the plan said of it. amounts : the garden before it is done."""
    scene, at = season.scene, _at(season.scene, week, _DONE)
    for place, step in done:
        task = _task(amounts, week, place, step)
        for line in doing.lines_of(task, scene.climate.garden, at=at, when=Hour(None, None), told=Told()):
            body = dict(line.body)
            if step.kind in SPRAYS:
                details: Mapping[str, object] = body["details"]  # type: ignore[assignment]
                body["details"] = {"started": f"{_DONE:%H:%M}", "applicator": _who(season), **details}
            yield _entry(season, line.kind, at, body)
    for reason in season.why.get(week, ()):
        yield _entry(season, "note", at, {"text": f"In the tournament: {reason}"})


def _task(amounts: Garden, week: int, place: int, step: Step) -> Planned:
    """A step as a task of the week, with what it takes."""
    stand, on = amounts.scene.climate.stands[place], amounts.scene.on(week).isoformat()
    who = ("", on, step.kind, (stand.planting.name,), (stand.bed.name,), 0, step.bottle)
    if step.kind not in SPRAYS:
        return Planned(*who, (), (), "")
    bottle = bottle_named(step.bottle)
    need, held = amounts.needs(amounts.grounds(week)[place])[step.bottle], contents_of(bottle, MATERIALS)
    unit = "g" if bottle.label is not None and bottle.label.form == "powder" else "ml"
    return Planned(*who, held.actives, held.codes, "", product=need.product, unit=unit, whole_l=need.litres)


def _entry(season: Season, kind: str, at: datetime, body: Mapping[str, object]) -> Entry:
    moment = at.astimezone(UTC)
    return with_derived_id(Entry("", kind, VERSION, moment, moment, moment, _who(season), _DEVICE, None, body))


def _keep(kept: Store, entries: Sequence[Entry]) -> None:
    """Received when they were written down."""
    if entries:
        kept.append(entries, received_at=entries[0].recorded_at)


def _at(scene: Scene, week: int, hour: time) -> datetime:
    zone = hours.zone_named(scene.climate.garden.place.zone)
    return datetime.combine(scene.on(week), hour, zone)


def _who(season: Season) -> str:
    return f"whoever plays “{_called(season)}”"


def _called(season: Season) -> str:
    return season.player.replace("_", " ")
