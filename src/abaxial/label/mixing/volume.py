"""How much spray a bed gets: what its foliage takes, held between what the labels ask for and what they allow."""

import math
from typing import NamedTuple

from abaxial.label.mixing import amounts
from abaxial.label.mixing.habits import Habits, parameters
from abaxial.label.mixing.job import Job, Product


class Volume(NamedTuple):
    """Spray for a bed. needed_l : to be sprayed. foliage_l : what the leaves take. least_l, most_l : of the labels;
    most_l is infinity where none says. notes : kinds: held_by_area, raised_by_label, runs_off."""

    needed_l: float
    foliage_l: float
    least_l: float
    most_l: float
    notes: tuple[str, ...]


def spray_volume(products: tuple[Product, ...], job: Job, habits: Habits) -> Volume:
    """What a bed gets; where most_l is below least_l, or needed_l below thinnest_l, it cannot be sprayed with these."""
    foliage_l = amounts.foliage_l(job.leaf_area_m2, habits.leaf_ml_per_m2)
    least_l = max(_least_l(each, job) for each in products)
    most_l = min(_most_l(each, job) for each in products)
    needed_l = min(max(foliage_l, least_l), most_l)
    wettest_l = amounts.foliage_l(job.leaf_area_m2, max(parameters()["leaf_ml_per_m2"].high, habits.leaf_ml_per_m2))
    said = {
        "held_by_area": needed_l < foliage_l,
        "raised_by_label": needed_l > foliage_l,
        "runs_off": needed_l > wettest_l,
    }
    return Volume(needed_l, foliage_l, least_l, most_l, tuple(name for name, is_so in said.items() if is_so))


def thinnest_l(job: Job, habits: Habits) -> float:
    """The least spray that still wets the foliage of a bed [L]."""
    return float(amounts.foliage_l(job.leaf_area_m2, min(parameters()["leaf_ml_per_m2"].low, habits.leaf_ml_per_m2)))


def amount_per_m2(product: Product) -> float:
    """What a label that speaks of ground gives to a square metre, never above its own limit, in the product's unit."""
    return min(product.amount, math.inf if product.most_per_m2 is None else product.most_per_m2)


def amount_per_l(product: Product) -> float:
    """What a label that speaks of spray gives to a litre, never above its own limit, in the product's unit."""
    return min(product.amount, math.inf if product.most_per_l is None else product.most_per_l)


def _least_l(product: Product, job: Job) -> float:
    thin_l = 0.0
    if product.per == "m2" and product.most_per_l is not None:
        thin_l = amount_per_m2(product) * job.ground_m2 / product.most_per_l
    return max(thin_l, (product.least_l_per_m2 or 0.0) * job.ground_m2)


def _most_l(product: Product, job: Job) -> float:
    by_product_l = math.inf
    if product.per == "l" and product.most_per_m2 is not None:
        by_product_l = product.most_per_m2 * job.ground_m2 / amount_per_l(product)
    by_spray_l = math.inf if product.most_l_per_m2 is None else product.most_l_per_m2 * job.ground_m2
    return min(by_product_l, by_spray_l)
