"""What was bought, as bottles on the shelf: one for each name, with what its label says and what it cost."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from abaxial.errors import LabelError
from abaxial.journal.body.details import said_in
from abaxial.journal.ground import key_of
from abaxial.journal.questions import Question, ask
from abaxial.label.bottle import Bottle
from abaxial.label.reading import read_bottle


class Bought(NamedTuple):
    """A purchase as it was written. table : a [[bottle]] of a description. entry_id : "" for a description."""

    entry_id: str
    table: Mapping[str, object]


@dataclass(frozen=True)
class Stock:
    """Bottles by the key of their name, and the price of a millilitre or gram of each, where that is known."""

    bottles: Mapping[str, Bottle] = field(default_factory=dict)
    prices: Mapping[str, float] = field(default_factory=dict)


class _Paid(NamedTuple):
    price: float
    amount: float


def stock_of(purchases: Iterable[Bought]) -> tuple[Stock, list[Question]]:
    """The bottles after all purchases, in the order they were written, none of them used yet.

    A second purchase under one name fills up the first; a label that is typed in later is that of both.
    """
    bottles: dict[str, Bottle] = {}
    paid: dict[str, list[_Paid]] = {}
    questions: list[Question] = []
    for each in purchases:
        fresh, asked = _read(each)
        questions += asked
        key = key_of(fresh.key)
        before = bottles.get(key)
        if before is not None and _differ(before, fresh):
            questions.append(ask("two_labels_of_one_name", each.entry_id, bottle=before.key))
        bottles[key] = fresh if before is None else _filled_up(before, fresh)
        price = said_in(each.table).get("price")
        if isinstance(price, int | float) and fresh.left:
            paid.setdefault(key, []).append(_Paid(float(price), fresh.left))
    prices = {key: sum(each.price for each in sums) / sum(each.amount for each in sums) for key, sums in paid.items()}
    return Stock(bottles, {bottles[key].key: price for key, price in prices.items()}), questions


def bottle_in(table: Mapping[str, object], *, where: str) -> Bottle:
    """The bottle of one purchase. Raises LabelError as the reader of labels does. where : file or entry, for messages."""
    return read_bottle({key: value for key, value in said_in(table).items() if key != "price"}, where=where)


def readable(table: Mapping[str, object]) -> Mapping[str, object]:
    """The table of a purchase where it can be read; else its name, and its day if that is one."""
    day = table.get("bought_on")
    bare = {"name": table["name"]}
    for said in (table, {**bare, "bought_on": day}):
        try:
            bottle_in(said, where="")
        except LabelError:
            continue
        return {key: value for key, value in said.items() if value is not None}
    return bare


def _read(bought: Bought) -> tuple[Bottle, list[Question]]:
    """A bottle; without its label, and asked about, where that cannot be read."""
    name = str(bought.table["name"])
    try:
        return bottle_in(bought.table, where=name), []
    except LabelError as error:
        lines = [line.strip() for line in error.message.splitlines()]
        question = ask("bottle_unreadable", bought.entry_id, bottle=name, problems=lines[1:] or lines)
        return bottle_in(readable(bought.table), where=name), [question]


def _differ(before: Bottle, fresh: Bottle) -> bool:
    return before.label is not None and fresh.label is not None and before.label != fresh.label


def _filled_up(before: Bottle, fresh: Bottle) -> Bottle:
    """One name, bought twice: what was in it and what came, the newer label, the earlier of two days to use it by."""
    days = [each for each in (before.use_before, fresh.use_before) if each is not None]
    bought = [each for each in (before.bought_on, fresh.bought_on) if each is not None]
    return replace(
        before,
        kind=fresh.kind,
        label=fresh.label or before.label if fresh.kind == "bottle" else None,
        left=None if before.left is None else before.left + (fresh.left or 0.0),
        bought_on=min(bought) if len(bought) == 2 else None,
        use_before=min(days, default=None),
    )
