"""Rates, turns, dates and records asked for single numbers, as worked cases need it."""

from collections.abc import Sequence
from datetime import date, datetime
from functools import cache

from abaxial.label.bottle import Bottle
from abaxial.label.done import Done, Site, reentry_ends
from abaxial.label.limits import usual_rules
from abaxial.label.rates import Stuff, rate_of, strength_of
from abaxial.label.reading import read_bottle
from abaxial.label.rotation import first_overrun, share_frac, solo_share_frac
from abaxial.label.rules import done_of, refusals, warnings
from abaxial.label.spray_record import Amounts, agrees, lacking, misfit_frac
from abaxial.remedy.material import Material, material_keys, read_material

_BEGIN = date(2026, 1, 1)
_PRINTED = {"interval_d": 1, "reentry_h": 4, "rain_fast_h": 1, "sites": ["ornamentals"], "pests": ["rust"]}
_SILENT = dict.fromkeys(("most_applications", "most_product", "protective", "registration"), "not printed")


def rates(printed: Sequence[str], form: str) -> list[float]:
    """Rates as printed, in ml or g per litre or square metre."""
    return [rate_of(str(each), Stuff(form)).amount for each in printed]


def strengths(printed: Sequence[str], form: str) -> list[float]:
    """Strengths as printed, in grams of active in a gram or millilitre of product."""
    return [strength_of(str(each), Stuff(form))[0] for each in printed]


def overruns(turns: Sequence[str], most_running: int) -> int:
    """The turn at which some code has run too long, from turns written as "11+M05"; 0 if none."""
    return first_overrun([str(each).split("+") for each in turns], most_running)


def solo_shares(turns: Sequence[str], code: str) -> float:
    """Share of the turns in which a code stood alone."""
    return solo_share_frac([str(each).split("+") for each in turns], code)


def shares(turns: Sequence[str], code: str) -> float:
    """Share of the turns with a code."""
    return share_frac([str(each).split("+") for each in turns], code)


def refused(sprays: Sequence[str], every_d: int, kind: str = "") -> int:
    """The spray, counted from 1, that the rules refuse first, all others being done; 0 if none.

    sprays : materials of each, as "azoxystrobin+chlorothalonil". every_d : days between two. kind : of refusal, "" for any.
    """
    done: list[Done] = []
    for number, spray in enumerate(sprays):
        on = date.fromordinal(_BEGIN.toordinal() + number * every_d)
        for active in str(spray).split("+"):
            bottle, site = _bottle(active), Site("reds", ("canna",))
            if any(kind in ("", each.kind) for each in refusals(bottle, site, on, done, usual_rules(), _materials())):
                return number + 1
            done.append(done_of(bottle, site, on, _materials()))
    return 0


def oil_and_sulfur(first: str, second: str) -> int:
    """Sulfur on one day and oil on another: 2 where it is refused, 1 where there is a warning, 0 where neither."""
    site = Site("reds", ("canna",))
    before = done_of(_bottle("clarified_neem_extract"), site, date.fromisoformat(first), _materials())
    asked = (_bottle("sulfur"), site, date.fromisoformat(second), [before], usual_rules(), _materials())
    if any(each.kind in ("too_near_another", "never_together") for each in refusals(*asked)):
        return 2
    return int(any(each.kind == "better_apart" for each in warnings(*asked)))


def reentry_h_after(ended: str, reentry_h: float, asked: str) -> float:
    """Hours from the moment one may enter to the moment asked about; below 0 while it is closed."""
    return (
        datetime.fromisoformat(asked) - reentry_ends(datetime.fromisoformat(ended), reentry_h)
    ).total_seconds() / 3600


def record_misfit_frac(rate: float, of: float, product: float) -> float:
    """How far the product of a record is off."""
    return misfit_frac(Amounts(rate, of, product))


def record_agrees(rate: float, of: float, product: float) -> float:
    """1 where the amounts of a record agree, else 0."""
    return float(agrees(Amounts(rate, of, product)))


def record_lacks(fields: Sequence[str], standard: str) -> int:
    """How many fields a record with these has too few."""
    return len(lacking({str(each): "given" for each in fields}, standard))


@cache
def _materials() -> dict[str, Material]:
    return {key: read_material(key) for key in material_keys()}


def _bottle(active: str) -> Bottle:
    label = {"form": "liquid", "actives": {active: "100 g/l"}, "rate": "1 ml/l", **_PRINTED, **_SILENT}
    return read_bottle({"name": active, "label": label}, where="case")
