"""A line of the journal as one sentence: what was done, seen or said."""

from collections.abc import Callable, Mapping

from abaxial.report.words.dates import day_words
from abaxial.report.words.facts import Facts
from abaxial.report.words.quantities import Units, counted, length_words, listed, water_words
from abaxial.report.words.seen.looks import look_words


def entry_words(kind: str, body: Mapping[str, object], units: Units = "metric") -> str:
    """What an entry says. kind, body : of the entry; a body that is not as it should be is told as far as it goes."""
    tell = _TOLD.get(kind)
    said = tell(Facts(body, units)) if tell else f"Something that a newer Abaxial wrote (“{kind.replace('_', ' ')}”)"
    remark = body.get("remark")
    sentence = f"{said}." + (f" {remark}" if isinstance(remark, str) else "")
    # whoever wrote it does not move the reader's screen
    return "".join(letter if letter.isprintable() else " " for letter in sentence)


def _garden(facts: Facts) -> str:
    site = facts.details.get("site")
    at = Facts(site, facts.units) if isinstance(site, Mapping) else facts
    name, zone = at.text("name") or "The garden", at.text("zone")
    north, east = at.number("latitude_deg"), at.number("longitude_deg")
    where = f" at {north:g}°, {east:g}°" if north is not None and east is not None else ""
    return f"{name} described: it lies{where or ' somewhere'}{f', on the clock of {zone}' if zone else ''}"


def _bed_laid(facts: Facts) -> str:
    area = facts.number("area_m2")
    return f"Bed {_name(facts, 'name')} laid{f', {area:g} m²' if area is not None else ''}"


def _bed_changed(facts: Facts) -> str:
    changed = tuple(_CHANGED.get(key, key.replace("_", " ")) for key in facts.details if key not in _NOT_CHANGED)
    return f"Bed {_name(facts, 'bed')} changed: {listed(changed, most=9)}"


def _planting_made(facts: Facts) -> str:
    host, since = facts.text("host"), facts.day("since")
    kind = f" of {host.replace('_', ' ')}" if host else ""
    leaves = f"; its leaves began on {day_words(since)} {since.year}" if since else ""
    return f"{_name(facts, 'name')} planted in {_name(facts, 'bed')}: {_clumps(facts)}{kind}{_apart(facts)}{leaves}"


def _planting_moved(facts: Facts) -> str:
    of = f"{_clumps(facts)} of " if facts.number("clumps") is not None else ""
    return f"{of}{_name(facts, 'planting')} moved to {_name(facts, 'bed')}{_as(facts)}"


def _division(facts: Facts) -> str:
    lifted = facts.number("lifted")
    whole = f"; {counted(lifted, 'clump', 'clumps')} lifted whole" if lifted else ""
    return f"{_name(facts, 'planting')} divided: {_clumps(facts)} into {_name(facts, 'bed')}{_as(facts)}{whole}"


def _cut_down(facts: Facts) -> str:
    return f"{_name(facts, 'planting')} cut to the ground{_gone(facts)}"


def _leaves_off(facts: Facts) -> str:
    which = "Leaves with rust" if facts.text("which") == "rusted" else "Low leaves"
    return f"{which} taken off {_name(facts, 'planting')}{_gone(facts)}"


def _destroyed(facts: Facts) -> str:
    of = f"{_clumps(facts)} of " if facts.number("clumps") is not None else ""
    return f"{of}{_name(facts, 'planting')} cleared away{_gone(facts)}"


def _walked(facts: Facts) -> str:
    seen = facts.details.get("seen")
    looks = [look_words(Facts(each, facts.units)) for each in seen if isinstance(each, Mapping)] if seen else []  # type: ignore[attr-defined]
    return f"Walk. {'. '.join(looks)}" if looks else "A walk"


def _flowering(facts: Facts) -> str:
    which = "No open flowers" if facts.details.get("open") is False else "Open flowers"
    return f"{which} on {_name(facts, 'planting')} or under it"


def _rain(facts: Facts) -> str:
    depth_mm, inches, words = facts.number("rain_mm"), facts.number("rain_in"), facts.text("rain")
    fallen = depth_mm if depth_mm is not None else None if inches is None else 25.4 * inches
    said = f"{water_words(fallen, facts.units)} of rain in the gauge" if fallen is not None else f"Rain: {words}"
    return said + _when(facts)


def _wet_leaves(facts: Facts) -> str:
    level = {"lower": "low leaves", "upper": "high leaves"}.get(facts.text("level") or "", "leaves")
    where = f" in {_name(facts, 'bed')}" if facts.text("bed") else ""
    return f"{level.capitalize()} {facts.text('leaves')}{where}{_when(facts)}"


def _done(facts: Facts) -> str:
    used = f", with {_name(facts, 'material')}" if facts.text("material") else ""
    remedy = facts.text("remedy") or "something"
    record = _inner(facts, "details")
    product_ml, product_g, water_l = (record.number(key) for key in ("product_ml", "product_g", "water_l"))
    much = f", {product_ml:g} ml" if product_ml is not None else f", {product_g:g} g" if product_g is not None else ""
    water = f"{' in' if much else ', with'} {water_l:g} l of water" if water_l is not None else ""
    begun = f", begun at {_plain_time(record.details['started'])}" if record.details.get("started") else ""
    on = listed(facts.names("plantings"), most=9)
    return f"Done: {_REMEDIES.get(remedy, remedy)}, on {on}{used}{much}{water}{begun}{_gone(record)}"


def _bought(facts: Facts) -> str:
    bottle = _inner(facts, "details")
    left, price = bottle.text("left"), bottle.number("price")
    label = "" if bottle.text("kind") == "home_brew" else ", with its label" if _inner(bottle, "label").details else ""
    brew = "Made at home" if bottle.text("kind") == "home_brew" else "Bought"
    paid = f", for {price:g}" if price is not None else ""
    return f"{brew}: {facts.text('material')}{f', {left}' if left else ''}{paid}{label}"


def _declined(facts: Facts) -> str:
    on = facts.names("plantings")
    return f"Set aside: {(facts.text('task') or '').replace('_', ' ')}{f', for {listed(on, most=9)}' if on else ''}"


def _minutes(facts: Facts) -> str:
    minutes, days, tasks = facts.number("minutes"), facts.names("days"), facts.details.get("tasks")
    said = [f"{counted(minutes, 'minute', 'minutes')} a day"] if minutes is not None else []
    said += [f"on {listed(days, most=7)}"] if days else []
    said += (
        [f"{name.replace('_', ' ')} {value} min" for name, value in tasks.items()] if isinstance(tasks, Mapping) else []
    )
    return f"Your time: {', '.join(said)}"


def _values(facts: Facts) -> str:
    values = facts.details.get("values")
    said = [f"{key.replace('_', ' ')} {value}" for key, value in values.items()] if isinstance(values, Mapping) else []
    return f"What matters to you: {', '.join(said)}"


def _note(facts: Facts) -> str:
    about = facts.text("planting") or facts.text("bed")
    return f"{f'{about}: ' if about else ''}{(facts.text('text') or '').rstrip('.')}"


def _photo(facts: Facts) -> str:
    about = facts.text("planting") or facts.text("bed")
    return f"Photo {facts.text('file')}{f' of {about}' if about else ''}"


def _correction(facts: Facts) -> str:
    return "A line put right" if "body" in facts.details else "A line given another date"


def _retraction(_: Facts) -> str:
    return "A line taken back"


# ---------------------------------------------------------------- pieces

_NOT_CHANGED = ("bed", "number", "remark")
_CHANGED = {"area_m2": "its size", "shelter_frac": "shelter", "obstacle": "what stands around it", "east_m": "where it lies",
            "north_m": "where it lies", "near": "what lies around it"}  # fmt: skip
_REMEDIES = {
    "fungicide": "fungicide sprayed",
    "oil": "oil sprayed",
    "thinned": "thinned",
    "spaced_wider": "set wider apart",
    "watered_otherwise": "watered otherwise",
    "litter_cleared": "fallen leaves cleared",
    "tools_cleaned": "tools cleaned",
    "other": "something else",
}
_GONE = {
    "bag_and_bin": "bagged and binned",
    "solarise_then_bury": "left in the sun in bags, then buried",
    "burn": "burned",
    "hot_compost": "on a hot compost",
    "green_waste": "given to green waste",
    "cold_compost": "on a cold compost",
    "left_lying": "left lying",
}


def _inner(facts: Facts, key: str) -> Facts:
    """A table within; an empty one where there is none."""
    inner = facts.details.get(key)
    return Facts(inner if isinstance(inner, Mapping) else {}, facts.units)


def _gone(facts: Facts) -> str:
    """Where what was taken off went."""
    way = facts.text("disposal")
    return f"; {_GONE.get(way, way.replace('_', ' '))}" if way else ""


def _name(facts: Facts, key: str) -> str:
    return f"“{facts.text(key) or '?'}”"


def _clumps(facts: Facts) -> str:
    clumps = facts.number("clumps")
    return counted(clumps, "clump", "clumps") if clumps is not None else "some clumps"


def _apart(facts: Facts) -> str:
    spacing_m = facts.number("spacing_m")
    return f", {length_words(spacing_m, facts.units)} apart" if spacing_m is not None else ""


def _as(facts: Facts) -> str:
    return f", as {_name(facts, 'name')}" if facts.text("name") else ""


def _when(facts: Facts) -> str:
    since, at = (_plain_time(facts.details.get(key)) for key in ("since", "at"))
    return f"{f' since {since}' if since else ''}{f', read at {at}' if at else ''}"


def _plain_time(value: object) -> str:
    """A time as it was written, out of its mark where it has one."""
    inner = next(iter(value.values())) if isinstance(value, Mapping) and len(value) == 1 else value
    return "" if inner is None else str(inner).replace("T", " ")


_TOLD: Mapping[str, Callable[[Facts], str]] = {
    "garden_described": _garden,
    "bed_laid": _bed_laid,
    "bed_changed": _bed_changed,
    "planting_made": _planting_made,
    "planting_moved": _planting_moved,
    "division_taken": _division,
    "cut_down": _cut_down,
    "leaves_taken_off": _leaves_off,
    "destroyed": _destroyed,
    "walked": _walked,
    "flowering_seen": _flowering,
    "rain_noted": _rain,
    "wetness_noted": _wet_leaves,
    "remedy_done": _done,
    "material_bought": _bought,
    "task_declined": _declined,
    "minutes_set": _minutes,
    "values_set": _values,
    "note": _note,
    "photo": _photo,
    "correction": _correction,
    "retraction": _retraction,
}
