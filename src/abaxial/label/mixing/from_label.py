"""From a bottle and its label to what the mixing needs; nothing without a label, and nothing that is brewed at home."""

from abaxial.errors import LabelError
from abaxial.label.bottle import Bottle
from abaxial.label.mixing.job import Product

_COMES_AS = {"liquid": "solution", "powder": "wettable"}


def product_of(bottle: Bottle, *, comes_as: str | None = None, used_per_m2: float = 0.0) -> Product:
    """A bottle as it goes into a mix.

    comes_as : see order.toml; None takes a liquid for a solution and a powder for one that does not dissolve, which matters
    where several are mixed. used_per_m2 : of this product, on this bed, within the time over which its label counts [ml or
    g on a square metre], 0 or more. Raises LabelError where there is no label, no rate, or nothing of the label's most left.
    """
    if bottle.kind == "home_brew":
        raise LabelError(
            f"{bottle.key} was brewed at home; there is no mixing card for it.",
            remedy="Write down that it was used, if it was; it counts for nothing.",
        )
    if bottle.label is None or bottle.label.rate is None:
        lacking = "its label" if bottle.label is None else "the rate of its label"
        raise LabelError(f"{bottle.key} cannot be mixed without {lacking}.", remedy="Write it down from the container.")
    label, rate = bottle.label, bottle.label.rate
    unit, _, per = rate.unit.partition("_per_")
    most = label.most_product_per_m2
    if most is not None and used_per_m2 >= most:
        raise LabelError(
            f"{bottle.key}: {used_per_m2:g} {unit} on a square metre were used of at most {most:g} "
            f"in {label.most_over_d} days.",
            remedy="Use nothing more of it on this bed before the first of it has grown old enough.",
        )
    return Product(
        bottle=bottle.key,
        form=comes_as or _COMES_AS[label.form],
        unit=unit,
        amount=rate.amount,
        per=per,
        most_per_m2=None if most is None else most - used_per_m2,
        least_l_per_m2=rate.least_l_per_m2,
        most_l_per_m2=rate.most_l_per_m2,
        left=bottle.left,
    )
