"""Small invented journals for tests: entries that make sense, and entries that do not."""

from datetime import UTC, datetime, timedelta

from hypothesis import strategies as some

from abaxial.journal.entries import KINDS, Entry

START = datetime(2026, 3, 1, 7, tzinfo=UTC)
SITE = {"name": "Plot", "latitude_deg": -1.3, "longitude_deg": 36.8, "elevation_m": 1660.0, "zone": "Africa/Nairobi"}


def entry(number: int, kind: str, body: dict[str, object], **others: object) -> Entry:
    """An entry whose id is its number, on the so-many-th day."""
    day = START + timedelta(days=number)
    fields: dict[str, object] = {
        "id": f"{number:032x}", "kind": kind, "version": 1, "happened_from": day, "happened_to": day,
        "recorded_at": day + timedelta(hours=1), "author": "Isaura", "device": "phone", "corrects": None, "body": body,
    }  # fmt: skip
    return Entry(**(fields | others))  # type: ignore[arg-type]


def described(number: int = 0, **others: object) -> Entry:
    """The garden."""
    return entry(number, "garden_described", {"site": SITE}, **others)


def laid(number: int, name: str = "Quay", **others: object) -> Entry:
    """A bed."""
    return entry(number, "bed_laid", {"name": name, "area_m2": 8.0}, **others)


def made(number: int, name: str = "Cannas", bed: str = "Quay", since: str = "2026-02-20", **others: object) -> Entry:
    """A planting of ten clumps."""
    body = {"name": name, "bed": bed, "host": "canna", "clumps": 10, "spacing_m": 0.5, "since": since}
    return entry(number, "planting_made", body, **others)


def walked(number: int, planting: str = "Cannas", **others: object) -> Entry:
    """A walk on which forty leaves of a planting were turned, two of them rusted."""
    return entry(number, "walked", {"seen": [{"planting": planting, "turned": 40, "rusted": 2}]}, **others)


#: a garden with two beds and a planting
BEGINNING = (described(0), laid(1), laid(2, "Wall"), made(3))

NAMES, BEDS = (
    some.sampled_from(["Cannas", "cannas ", "Beans", "Nobody"]),
    some.sampled_from(["Quay", "Wall", "Nowhere"]),
)
COUNTS = some.integers(0, 14)
WAYS = some.sampled_from(["bag_and_bin", "cold_compost"])
DAYS = some.integers(0, 40).map(lambda days: str((START + timedelta(days=days)).date()))
JSON = some.recursive(
    some.none() | some.booleans() | some.integers() | some.floats() | some.text(max_size=8),
    lambda inner: some.lists(inner, max_size=3) | some.dictionaries(some.text(max_size=8), inner, max_size=3),
    max_leaves=6,
)
SEEN = some.fixed_dictionaries({"planting": NAMES, "turned": some.integers(1, 50), "rusted": some.integers(0, 3)})
BOTTLES = some.sampled_from(["White bottle", "white bottle ", "Tin", "Nettle water"])
LABEL = {
    "form": "liquid",
    "rate": "10 ml/l",
    "actives": {"mineral_oil": "850 g/l"},
    "reentry_h": 4,
    "registration": "A-1",
}
PURCHASES = some.fixed_dictionaries(
    {},
    optional={
        "left": some.sampled_from(["500 ml", "0.2 kg", "some"]),
        "price": some.floats(0, 40),
        "bought_on": DAYS,
        "kind": some.sampled_from(["bottle", "home_brew"]),
        "label": some.sampled_from([LABEL, {**LABEL, "form": "powder", "rate": "2 g/l"}, {"rate": "much"}]),
    },
)
RECORDS = some.fixed_dictionaries(
    {},
    optional={
        "product_ml": some.floats(0, 400),
        "product_g": some.floats(0, 400),
        "water_l": some.floats(0, 9),
        "area_m2": some.floats(0, 90),
        "started": some.sampled_from(["07:10", "23:50"]),
        "ended": some.sampled_from(["08:00", "00:20"]),
        "rate": some.sampled_from(["10 ml/l", "2 g/m2", "plenty"]),
        "applicator": some.just("Isaura"),
        "reentry_until": DAYS,
        "taken": JSON,
        "weather": some.fixed_dictionaries({"wind_m_s": some.floats(0, 9)}),
    },
)
SENSIBLE = {
    "garden_described": some.fixed_dictionaries({"site": some.just(SITE)}),
    "bed_laid": some.fixed_dictionaries({"name": BEDS, "area_m2": some.floats(1, 9)}, optional={"number": COUNTS}),
    "bed_changed": some.fixed_dictionaries(
        {"bed": BEDS, "shelter_frac": some.floats(0.1, 1)},
        optional={"near": some.fixed_dictionaries({}, optional={"fish_m": some.just("none"), "animals": some.booleans()})},
    ),
    "planting_made": some.fixed_dictionaries(
        {"name": NAMES, "bed": BEDS, "host": some.just("canna"), "clumps": COUNTS, "spacing_m": some.just(0.5), "since": DAYS},
        optional={"flower_stems_per_week": some.floats(0, 500)},
    ),
    "planting_moved": some.fixed_dictionaries(
        {"planting": NAMES, "bed": BEDS}, optional={"name": NAMES, "clumps": some.integers(1, 14), "since": DAYS}
    ),
    "division_taken": some.fixed_dictionaries(
        {"planting": NAMES, "name": NAMES, "bed": BEDS, "clumps": some.integers(1, 5), "spacing_m": some.just(0.4), "since": DAYS},
        optional={"lifted": COUNTS},
    ),
    "cut_down": some.fixed_dictionaries({"planting": NAMES}, optional={"disposal": WAYS}),
    "leaves_taken_off": some.fixed_dictionaries(
        {"planting": NAMES, "which": some.sampled_from(["low", "rusted"])}, optional={"disposal": WAYS}
    ),
    "flowering_seen": some.fixed_dictionaries({"planting": NAMES}, optional={"open": some.booleans()}),
    "destroyed": some.fixed_dictionaries({"planting": NAMES}, optional={"clumps": some.integers(1, 14)}),
    "walked": some.fixed_dictionaries({"seen": some.lists(SEEN, min_size=1, max_size=3)}),
    "rain_noted": some.fixed_dictionaries({"rain_mm": some.floats(0, 40)}, optional={"at": DAYS, "number": COUNTS}),
    "wetness_noted": some.fixed_dictionaries({"leaves": some.just("damp")}, optional={"at": DAYS, "bed": BEDS}),
    "minutes_set": some.fixed_dictionaries({"minutes": some.integers(0, 200)}),
    "values_set": some.fixed_dictionaries({"values": some.dictionaries(some.just("clump"), COUNTS, min_size=1)}),
    "remedy_done": some.fixed_dictionaries(
        {"remedy": some.sampled_from(["thin", "oil", "fungicide"]), "plantings": some.lists(NAMES, min_size=1)},
        optional={"material": BOTTLES, "details": RECORDS},
    ),
    "material_bought": some.fixed_dictionaries({"material": BOTTLES}, optional={"details": PURCHASES}),
    "task_declined": some.fixed_dictionaries({"task": some.just("thin")}, optional={"plantings": some.lists(NAMES, min_size=1)}),
}  # fmt: skip
IDS = some.integers(0, 25).map(lambda number: f"{number:032x}")
MOMENTS = some.integers(-50, 50).map(lambda hours: START + timedelta(hours=12 * hours))


def _amending(kind: str) -> some.SearchStrategy[dict[str, object]]:
    times = some.fixed_dictionaries({}, optional={"happened_from": MOMENTS.map(datetime.isoformat)})
    return (
        some.one_of(*SENSIBLE.values()).map(lambda body: {"body": body}) | times
        if kind == "correction"
        else some.just({})
    )


@some.composite
def damaged(draw: some.DrawFn, sensible: some.SearchStrategy[dict[str, object]]) -> dict[str, object]:
    """A body of which one thing, on the top or one table down, was replaced by something else."""
    body = dict(draw(sensible))
    key = draw(some.sampled_from([*body, "remark"]))
    inner = body.get(key)
    if isinstance(inner, dict) and inner and draw(some.booleans()):
        return {**body, key: {**inner, draw(some.sampled_from([*inner])): draw(JSON)}}
    return {**body, key: draw(JSON)}


def bodies(kind: str) -> some.SearchStrategy[object]:
    """Bodies of a kind, most of them as they should be."""
    if kind in ("correction", "retraction"):
        return some.one_of(_amending(kind), _amending(kind), damaged(_amending(kind)), JSON)
    sensible = SENSIBLE.get(kind, some.just({}))
    return some.one_of(sensible, sensible, sensible, sensible, damaged(sensible), damaged(sensible), JSON)


@some.composite
def entries(draw: some.DrawFn, ids: some.SearchStrategy[str] = IDS) -> Entry:
    """Any entry at all, also of kinds nobody knows yet."""
    kind = draw(some.sampled_from([*SENSIBLE, *KINDS, "correction", "retraction", "invented_later"]))
    amends = kind in ("correction", "retraction") or draw(some.integers(0, 9)) == 0
    begins = draw(MOMENTS)
    return Entry(
        id=draw(ids),
        kind=kind,
        version=draw(some.sampled_from([1] * 10 + [0, 2])),
        happened_from=begins,
        happened_to=begins + timedelta(hours=draw(some.sampled_from([0, 0, 0, 5, 30, -1]))),
        recorded_at=draw(MOMENTS),
        author="Isaura",
        device=draw(some.sampled_from(["phone", "laptop"])),
        corrects=draw(IDS | IDS | IDS | some.none() | some.just(f"{99:032x}")) if amends else None,
        body=draw(bodies(kind)),  # type: ignore[arg-type]
    )


JOURNALS = some.lists(entries(), max_size=8).map(lambda written: [*BEGINNING, *written])


def _shelf_entry(kind: str) -> some.SearchStrategy[Entry]:
    days = some.integers(-3, 40)
    return some.builds(lambda day, id_, body: entry(day, kind, body, id=id_), days, IDS, SENSIBLE[kind])


#: a garden in which much is bought, sprayed, cut and moved, and all of it makes sense by itself
SHELVES = some.lists(
    some.one_of(*map(_shelf_entry, (
        "material_bought", "remedy_done", "remedy_done", "cut_down", "leaves_taken_off", "destroyed", "planting_moved",
        "division_taken", "task_declined",
    ))),
    max_size=10,
    unique_by=lambda each: each.id,
).map(lambda written: [*BEGINNING, *(each for each in written if int(each.id, 16) >= len(BEGINNING))])  # fmt: skip
