"""The shelf and what was done: bottles with what is left in them, treatments in order, and what is to be asked."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, tzinfo
from typing import NamedTuple

from abaxial.errors import LabelError
from abaxial.journal.ground import key_of
from abaxial.journal.questions import Question, ask
from abaxial.journal.shelf.bottles import Bought, stock_of
from abaxial.journal.shelf.treatment import Act, Treatment, treatment_of
from abaxial.label.bottle import Bottle
from abaxial.label.rates import Stuff, rate_of
from abaxial.label.spray_record import MISFIT_FRAC


@dataclass(frozen=True)
class Shelf:
    """Bottles with what is left in them, the price of a millilitre or gram by name, what was done in order, and what is to
    be asked about it."""

    bottles: tuple[Bottle, ...] = ()
    prices: Mapping[str, float] = field(default_factory=dict)
    done: tuple[Treatment, ...] = ()
    questions: tuple[Question, ...] = ()


class _Used(NamedTuple):
    treatment: Treatment
    bottle: Bottle | None


def shelf_of(purchases: Iterable[Bought], acts: Iterable[Act], cuts: Iterable[Treatment], zone: tzinfo) -> Shelf:
    """What all purchases and acts add up to. Never fails: what does not fit is asked about.

    cuts : what was done without a record of its own. zone : the garden's clock.
    """
    stock, questions = stock_of(purchases)
    used = []
    for act in acts:
        bottle = stock.bottles.get(key_of(str(act.table.get("material", ""))))
        used.append(_Used(treatment_of(act, bottle, zone), bottle))
    for each in used:
        questions += _asked(each.treatment, each.bottle)
    bottles, short = _left(stock.bottles, used)
    done = tuple(sorted([*(each.treatment for each in used), *cuts], key=_order))
    return Shelf(bottles, stock.prices, done, (*questions, *short))


def product_of(treatment: Treatment, bottle: Bottle) -> float | None:
    """How much of a bottle a treatment took, in the bottle's own measure; None where nobody said, or in no way that fits."""
    amounts = {"ml": treatment.product_ml, "g": treatment.product_g}
    own = _measure(bottle, treatment)
    if amounts[own] is not None:
        return amounts[own]
    density = bottle.label.density_g_per_ml if bottle.label else None
    other = amounts["g" if own == "ml" else "ml"]
    if other is None or density is None:
        return None
    return other / density if own == "ml" else other * density


def _order(treatment: Treatment) -> tuple[object, ...]:
    started = treatment.started or datetime.combine(treatment.on, datetime.min.time(), UTC)
    return treatment.on, treatment.started is not None, started, treatment.remedy, treatment.plantings


def _measure(bottle: Bottle, treatment: Treatment | None = None) -> str:
    """ "ml" or "g"; without a label, the one that was written."""
    if bottle.label is not None:
        return "ml" if bottle.label.form == "liquid" else "g"
    return "g" if treatment is not None and treatment.product_ml is None and treatment.product_g is not None else "ml"


# ---------------------------------------------------------------- what is to be asked


def _asked(treatment: Treatment, bottle: Bottle | None) -> Iterable[Question]:
    if not treatment.is_application:
        return
    at = {"bottle": treatment.bottle, "on": treatment.on}
    if bottle is None and treatment.bottle:
        yield ask("bottle_unknown", treatment.entry_id, **at)
    elif bottle is not None:
        if bottle.bought_on is not None and treatment.on < bottle.bought_on:
            yield ask("bottle_not_yet_bought", treatment.entry_id, **at, bought_on=bottle.bought_on)
        if treatment.home_brew:
            yield ask("home_brew_used", treatment.entry_id, **at)
        elif bottle.label is None:
            yield ask("sprayed_without_label", treatment.entry_id, **at)
        has_amount = treatment.product_ml is not None or treatment.product_g is not None
        if has_amount and product_of(treatment, bottle) is None:
            yield ask("product_in_another_measure", treatment.entry_id, **at, measure=_measure(bottle))
    yield from _rate_question(treatment, bottle)
    if treatment.missing:
        yield ask("spray_record_incomplete", treatment.entry_id, **at, plantings=treatment.plantings,
                  missing=treatment.missing)  # fmt: skip


def _rate_question(treatment: Treatment, bottle: Bottle | None) -> Iterable[Question]:
    """What is to be asked where rate, ground or water, and product do not fit one another."""
    text = treatment.said.get("rate")
    if text is None:
        return
    at = {"bottle": treatment.bottle, "on": treatment.on, "rate": text}
    label = bottle.label if bottle else None
    form = label.form if label else "liquid" if treatment.product_g is None else "powder"
    try:
        rate = rate_of(text, Stuff(form, label.density_g_per_ml if label else None))
    except LabelError as error:
        yield ask("rate_unreadable", treatment.entry_id, **at, problems=[error.message])
        return
    per = treatment.water_l if rate.unit.endswith("_per_l") else treatment.area_m2
    product = treatment.product_ml if form == "liquid" else treatment.product_g
    if bottle is not None:
        product = product_of(treatment, bottle)
    if per is None or product is None:
        return
    low, high = rate.least_amount * per, rate.amount * per
    if not low * (1.0 - MISFIT_FRAC) - 1e-9 <= product <= high * (1.0 + MISFIT_FRAC) + 1e-9:
        measure = "ml" if form == "liquid" else "g"
        yield ask("rate_does_not_fit", treatment.entry_id, **at, product=product, expected=(low, high), measure=measure)


def _left(bottles: Mapping[str, Bottle], used: Sequence[_Used]) -> tuple[tuple[Bottle, ...], list[Question]]:
    """The bottles with what is left in them."""
    result, questions = [], []
    for bottle in bottles.values():
        taken = [(each, product_of(each.treatment, bottle)) for each in used if each.bottle is bottle]
        total = sum(amount for _, amount in taken if amount is not None)
        had = bottle.left
        if had is not None and total > had * (1.0 + 1e-9):
            last = next(each.treatment.entry_id for each, amount in reversed(taken) if amount)
            details = {"bottle": bottle.key, "used": total, "had": had, "measure": _measure(bottle)}
            questions.append(ask("more_used_than_there_was", last, **details))
        result.append(bottle if had is None else replace(bottle, left=max(had - total, 0.0)))
    return tuple(result), questions
