"""What there is to choose from and what couples the plantings, as arrays.

Every planting gets one candidate. A candidate is of one planting, or of several at once (a joint programme). One candidate
of each planting does nothing at all, so that some choice is always allowed, whatever the limits.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from abaxial.errors import FaultError

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
Truths = NDArray[np.bool_]

#: litres of mix below which nothing is applied
LEAST_L = 1e-4


@dataclass(frozen=True)
class Offers:
    """The candidates.

    covers : (candidates, plantings) whose programme it is. loss : (candidates,) what it is expected to cost in all [money],
    mixing left out. minutes : (candidates, weeks) of work, mixing left out. spray_minutes, litres, product : (candidates,
    weeks, bottles) minutes with the sprayer, litres of mix, product in the bottle's own unit; each 0 or more.
    """

    covers: Truths
    loss: Floats
    minutes: Floats
    spray_minutes: Floats
    litres: Floats
    product: Floats


@dataclass(frozen=True)
class Shelf:
    """The bottles, each array (bottles, …).

    stock, season_left : product there is, and that the label still allows in the whole garden; infinite where nothing is
    said. weeks_left : weeks with an application still allowed. tank_l : litres of one mix, above 0. mixing_minutes,
    mixing_money : of each mix. codes : (bottles, codes) what it is rotated by. apart_weeks : (bottles, bottles) weeks that
    must lie from one to the other anywhere in the garden, alike both ways; 0 asks for nothing.
    """

    stock: Floats
    season_left: Floats
    weeks_left: Floats
    tank_l: Floats
    mixing_minutes: Floats
    mixing_money: Floats
    codes: Truths
    apart_weeks: Whole


@dataclass(frozen=True)
class Hours:
    """The minutes there are. minutes : (weeks,) for all work. open_minutes : (weeks,) in which some spraying is fit.
    bottle_minutes : (weeks, bottles) in which this bottle may be sprayed; 0 where no hour is fit."""

    minutes: Floats
    open_minutes: Floats
    bottle_minutes: Floats


@dataclass(frozen=True)
class Rotation:
    """The rotation by codes; the whole garden is one population of rust.

    limited : (codes,) whether the run counts (not for multi-site and NC). breaking : (codes,) whether a week with it, and
    without the other, ends the run of another code. running : (codes,) weeks of applications of it in a row up to now.
    most_running : allowed in a row, 1 or more. weeks_left : (codes,) weeks with it still allowed, infinite where nothing is
    said. A week with nothing applied neither counts nor ends a run.
    """

    limited: Truths
    breaking: Truths
    running: Whole
    most_running: int
    weeks_left: Floats


@dataclass(frozen=True)
class Problem:
    """Everything the choice hangs on. idle : (plantings,) the candidate of each that does nothing. own : of each planting, the
    candidates that are its alone. joint : the candidates of several plantings."""

    offers: Offers
    shelf: Shelf
    hours: Hours
    rotation: Rotation
    idle: Whole
    own: tuple[Whole, ...]
    joint: Whole

    @property
    def sizes(self) -> tuple[int, int, int, int]:
        """Candidates, plantings, weeks, bottles."""
        candidates, weeks, bottles = self.offers.litres.shape
        return candidates, self.offers.covers.shape[1], weeks, bottles


def set_out(offers: Offers, shelf: Shelf, hours: Hours, rotation: Rotation) -> Problem:
    """The problem, checked. Raises FaultError where shapes differ, numbers are none, or a planting cannot be left alone."""
    candidates, weeks, bottles = offers.litres.shape
    codes = shelf.codes.shape[1]
    shapes = {
        "loss": (offers.loss, (candidates,)),
        "covers": (offers.covers, (candidates, offers.covers.shape[-1])),
        "minutes": (offers.minutes, (candidates, weeks)),
        "spray_minutes": (offers.spray_minutes, (candidates, weeks, bottles)),
        "product": (offers.product, (candidates, weeks, bottles)),
        "litres": (offers.litres, (candidates, weeks, bottles)),
        **{
            name: (getattr(shelf, name), (bottles,))
            for name in ("stock", "season_left", "weeks_left", "tank_l", "mixing_minutes", "mixing_money")
        },
        "codes": (shelf.codes, (bottles, codes)),
        "apart_weeks": (shelf.apart_weeks, (bottles, bottles)),
        "open_minutes": (hours.open_minutes, (weeks,)),
        "minutes there are": (hours.minutes, (weeks,)),
        "bottle_minutes": (hours.bottle_minutes, (weeks, bottles)),
        **{name: (getattr(rotation, name), (codes,)) for name in ("limited", "breaking", "running")},
        "weeks of codes": (rotation.weeks_left, (codes,)),
    }
    for name, (array, shape) in shapes.items():
        if array.shape != shape:
            raise FaultError(f"{name} of the choice has the shape {array.shape}; it must have {shape}.")
        if np.isnan(array).any() or (name != "loss" and (array < 0).any()):
            raise FaultError(f"{name} of the choice holds a number below 0, or none.")
    if not np.isfinite(offers.loss).all() or (shelf.tank_l <= 0.0).any() or rotation.most_running < 1:
        raise FaultError("A loss without end, a tank without room or a run of nothing cannot be chosen among.")
    if (((offers.product > 0.0) | (offers.spray_minutes > 0.0)) & (offers.litres < LEAST_L)).any():
        raise FaultError(f"Something is applied of which less than {LEAST_L:g} litres are mixed.")
    alone = offers.covers.sum(axis=1) == 1
    own = tuple(np.flatnonzero(alone & of_it) for of_it in offers.covers.T)
    return Problem(offers, shelf, hours, rotation, _idle(offers), own, np.flatnonzero(~alone))


def _idle(offers: Offers) -> Whole:
    still = (offers.covers.sum(axis=1) == 1) & (offers.minutes.sum(axis=1) == 0.0)
    still &= (offers.litres + offers.product + offers.spray_minutes).sum(axis=(1, 2)) == 0.0
    able = offers.covers & still[:, None]
    if not able.any(axis=0).all():
        raise FaultError("A planting has no candidate that does nothing, so perhaps nothing is allowed for it.")
    return np.asarray(np.argmin(np.where(able, offers.loss[:, None], np.inf), axis=0), np.int64)
