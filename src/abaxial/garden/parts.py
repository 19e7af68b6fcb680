"""The nouns of a garden: site, bed, planting, and the person who works there. All frozen, all of one day."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Literal, NamedTuple

from abaxial.place import Place

Manner = Literal["none", "overhead", "soil"]
#: where what was cut may go; what each way leaves in the garden is the business of `label`
DISPOSALS = (
    "bag_and_bin", "solarise_then_bury", "burn", "hot_compost", "green_waste", "cold_compost", "left_lying",
)  # fmt: skip

#: the fields of a planting that hold dates of taking something off it
TAKEN_OFF = ("cut_down", "low_leaves_off", "rusted_leaves_off")
#: those that hold dates on which somebody saw open flowers, or looked and saw none
FLOWERS = ("flowers_seen", "no_flowers_seen")


@dataclass(frozen=True)
class Obstacle:
    """Something that hides part of the sky from a bed, over a sector of the compass.

    Over at most 180° it is a straight edge square on to the bed, over more it is a ring around it.

    from_deg, to_deg  : the sector, clockwise from north [degrees]; 300 to 30 goes through north.
    height_m          : above the bed's ground [m], above 0.
    distance_m        : from the middle of the bed to its nearest point [m], above 0.
    transmission_frac : share of light that comes through, 0 (a wall) to 1.
    """

    from_deg: float
    to_deg: float
    height_m: float
    distance_m: float
    transmission_frac: float = 0.0


@dataclass(frozen=True)
class Watering:
    """How a bed is watered.

    manner : "none", "overhead" (leaves get wet) or "soil" (at the foot). local_hour : clock hour it starts, 0 to 23.
    amount_mm : depth on each occasion [mm]. every_days : days between occasions, 1 to 60.
    """

    manner: Manner = "none"
    local_hour: int = 7
    amount_mm: float = 0.0
    every_days: int = 1


@dataclass(frozen=True)
class Surroundings:
    """What lies around a bed that spray must not reach; None is a question not yet asked.

    hives_m, fish_m : to the nearest beehive; to the nearest pond, ditch or stream [m]; infinite where there is none.
    animals, children : whether pets, poultry or grazing animals, or children, come there. washing : whether washing hangs
    near. roof_water_tank : whether rain from a roof near by is kept for drinking, animals or the kitchen.
    """

    hives_m: float | None = None
    fish_m: float | None = None
    animals: bool | None = None
    children: bool | None = None
    washing: bool | None = None
    roof_water_tank: bool | None = None


@dataclass(frozen=True)
class Bed:
    """A piece of ground with one exposure and one watering habit.

    area_m2 : ground [m²]. east_m, north_m : middle of the bed from the garden's corner [m]. soil : "sand", "loam" or
    "clay". shelter_frac : share of open wind that reaches the top of the plants, 0.05 to 1.
    """

    name: str
    area_m2: float
    obstacles: tuple[Obstacle, ...] = ()
    watering: Watering = field(default_factory=Watering)
    soil: str = "loam"
    shelter_frac: float = 1.0
    east_m: float = 0.0
    north_m: float = 0.0
    surroundings: Surroundings = field(default_factory=Surroundings)


class Disposed(NamedTuple):
    """Where what was taken off a planting on a day went. what : one of TAKEN_OFF. way : one of DISPOSALS."""

    on: date
    what: str
    way: str


@dataclass(frozen=True)
class Planting:
    """Plants of one kind in one bed, for life.

    host : key of a species file. clumps : number of plants, 0 or more. spacing_m : between neighbours [m].
    since : the date leaves began to grow from the ground. cut_down : dates of cutting to the ground since then.
    low_leaves_off, rusted_leaves_off : dates on which the lower foliage, or only what showed rust, was taken off.
    disposals : where it went, as far as anybody said. flowers_seen, no_flowers_seen : dates on which somebody saw open
    flowers on it or under it, weeds counted; or looked and saw none. eaten : whether any of it is; None where nobody said.
    worth_factor : of its leaves, flowers and clumps against others'. replaceable : whether it can be bought again.
    flower_stems_per_week : that all of it is expected to open in the weeks ahead, 0 to 500; at 0 none are counted.
    eppo_host, eppo_pest : codes of the kind of plant and of its rust for the record of spraying, as somebody looked them up.
    """

    name: str
    bed: str
    host: str
    clumps: int
    spacing_m: float
    since: date
    cultivar: str = ""
    cut_down: tuple[date, ...] = ()
    low_leaves_off: tuple[date, ...] = ()
    rusted_leaves_off: tuple[date, ...] = ()
    disposals: tuple[Disposed, ...] = ()
    flowers_seen: tuple[date, ...] = ()
    no_flowers_seen: tuple[date, ...] = ()
    eaten: bool | None = None
    worth_factor: float = 1.0
    replaceable: bool = True
    eppo_host: str = ""
    eppo_pest: str = ""
    flower_stems_per_week: float = 0.0


@dataclass(frozen=True)
class Gardener:
    """The person's time. weekdays : 0 is Monday. minutes : on each of those days [min]."""

    weekdays: tuple[int, ...] = (0, 1, 2, 3, 4, 5, 6)
    minutes: int = 60


@dataclass(frozen=True)
class WeatherSource:
    """A file the description names, with what it says about that file; read by `weather`, not here."""

    path: str
    form: str
    options: Mapping[str, object] = field(default_factory=dict)


@dataclass(frozen=True)
class Noted:
    """One thing the gardener noticed, bought or did, as written: what it means is the business of `weather`, `scouting`,
    `label` or `journal`."""

    options: Mapping[str, object]


@dataclass(frozen=True)
class Wind:
    """The prevailing wind. from_deg : where it comes from, clockwise from north [degrees]. steady_frac : 0 where it
    blows from everywhere alike, 1 where it never blows from elsewhere."""

    from_deg: float = 0.0
    steady_frac: float = 0.0


@dataclass(frozen=True)
class Garden:
    """What stands where, on one day.

    walks : what was seen, as written (`scouting` reads it). bottles, treatments, declined : what stands on the shelf, what
    was done about rust, and which proposals were turned down, as written (`journal` reads them). values : what the gardener
    says that things are worth and rules shall be, by name; which names there are is the business of the rooms that use them.
    """

    name: str
    place: Place
    beds: tuple[Bed, ...]
    plantings: tuple[Planting, ...]
    gardener: Gardener = field(default_factory=Gardener)
    weather: tuple[WeatherSource, ...] = ()
    noted: tuple[Noted, ...] = ()
    walks: tuple[Noted, ...] = ()
    bottles: tuple[Noted, ...] = ()
    treatments: tuple[Noted, ...] = ()
    declined: tuple[Noted, ...] = ()
    values: Mapping[str, float] = field(default_factory=dict)
    wind: Wind = field(default_factory=Wind)
    invented: bool = False
    folder: str = "."

    def bed_of(self, planting: Planting) -> Bed:
        """The bed a planting stands in."""
        return next(bed for bed in self.beds if bed.name == planting.bed)
