"""What was put on which plants and when, and what a new application there would find; days counted, nothing judged."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime, time, timedelta
from typing import NamedTuple

from abaxial.label.bottle import Bottle
from abaxial.label.contents import Contents, contents_of
from abaxial.label.rotation import is_exempt
from abaxial.remedy.material import Material


class Done(NamedTuple):
    """One bottle put on one planting, done or intended; several on one day are one tank.

    codes : FRAC codes, none for what does nothing to rust. kinds : of its materials, "home_brew" for a brew. product_ml :
    product [ml; g of a powder]. area_m2 : ground. actives : keys of materials. product : see Bottle.product. interval_d : of
    its label [d]. reentry_h : of its label [h]. most_applications : its label allows of its active ingredients in most_over_d
    days, None where it says nothing. ended : when the spraying was over, None where only the day is known.
    """

    on: date
    planting: str
    bottle: str
    codes: tuple[str, ...]
    kinds: tuple[str, ...]
    product_ml: float
    area_m2: float
    actives: tuple[str, ...] = ()
    product: str = ""
    interval_d: int = 0
    reentry_h: float = 0.0
    ended: datetime | None = None
    most_applications: int | None = None
    most_over_d: int = 365

    @property
    def words(self) -> frozenset[str]:
        """Everything it may be called by in a rule about two things together."""
        return frozenset((*self.kinds, *self.actives))


class Site(NamedTuple):
    """Where something is to be put on, and how much of it.

    names : what the plants are called, as a label may name them. pests : what the rust is called. edible : whether anything
    of them is eaten. area_m2 : ground [m²]. product_ml : product this would take [ml; g of a powder]. flowers_open, wilted,
    stressed, newly_planted : how they stand. warmest_c, coldest_c : air while spraying, None where that is looked at by the
    hour. water_m : distance of open water, None where nobody was asked. licensed : whether who sprays holds a licence.
    """

    planting: str
    names: tuple[str, ...]
    pests: tuple[str, ...] = ("rust",)
    edible: bool = False
    area_m2: float = 0.0
    product_ml: float = 0.0
    flowers_open: bool = False
    wilted: bool = False
    stressed: bool = False
    newly_planted: bool = False
    warmest_c: float | None = None
    coldest_c: float | None = None
    water_m: float | None = None
    licensed: bool = False


def done_of(bottle: Bottle, site: Site, on: date, materials: Mapping[str, Material]) -> Done:
    """The record of a bottle put on a site on a day. A home brew counts for nothing, whatever is in it."""
    if bottle.label is None:
        return Done(
            on, site.planting, bottle.key, (), (bottle.kind,), site.product_ml, site.area_m2, product=bottle.key
        )
    contents = contents_of(bottle, materials)
    return Done(
        on, site.planting, bottle.key, contents.codes, contents.kinds, site.product_ml, site.area_m2, contents.actives,
        bottle.product, bottle.label.interval_d or 0, bottle.label.reentry_h or 0.0,
        most_applications=bottle.label.most_applications, most_over_d=bottle.label.most_over_d,
    )  # fmt: skip


def alike(contents: Contents, product: str, done: Done) -> bool:
    """Whether something done is of one kind with contents, so that interval and season's count are shared.

    The same product, an active ingredient in common, or a FRAC code in common that rotation counts by.
    """
    if product == done.product or set(contents.actives) & set(done.actives):
        return True
    return any(code in done.codes and not is_exempt(code) for code in contents.codes)


def at(history: Iterable[Done], planting: str) -> tuple[Done, ...]:
    """What was done on one planting."""
    return tuple(each for each in history if each.planting == planting)


def most_in_a_window(days: Sequence[date], amounts: Sequence[float], on: date, over_d: int) -> float:
    """The most that falls into any stretch of over_d days that holds `on`, in the unit of the amounts.

    days, amounts : of equal length. A stretch of 365 days that ends on a day begins 364 days before it.
    """
    ends = {on, *(day for day in days if on <= day < on + timedelta(over_d))}
    return max(
        sum(amount for day, amount in zip(days, amounts, strict=True) if end - timedelta(over_d) < day <= end)
        for end in ends
    )


def reentry_ends(ended: datetime, reentry_h: float) -> datetime:
    """When one may go among the plants again. ended : end of spraying. reentry_h : of the label [h]."""
    return ended + timedelta(hours=reentry_h)


def open_again(done: Done) -> datetime:
    """The same of something done; where only the day is known, from its end."""
    ended = done.ended or datetime.combine(done.on + timedelta(1), time())
    return reentry_ends(ended, done.reentry_h)
