"""How many leaves to turn: to find rust, to be sure there is little, to know how much."""

from abaxial.scouting.sampling.detection import (
    clusters_to_find,
    missed_frac,
    missed_in_bed_frac,
    missed_in_cluster_frac,
    rusted_units,
    units_to_find,
    units_to_find_in_bed,
    units_to_find_nearly,
    units_to_find_poisson,
)
from abaxial.scouting.sampling.limits import (
    exact_limits_frac,
    none_found_credible_frac,
    none_found_limit_frac,
    none_found_limit_in_bed,
    wilson_limits_frac,
)
from abaxial.scouting.sampling.plan import (
    CollectionPlan,
    LookPlan,
    Terms,
    allotted,
    collection_plan,
    look_plan,
    looked_at,
    none_found_among_plants_frac,
)
from abaxial.scouting.sampling.precision import (
    design_factor,
    plants_for_spread,
    units_for_reach,
    units_for_spread,
    units_of_bed,
)

__all__ = [
    "CollectionPlan",
    "LookPlan",
    "Terms",
    "allotted",
    "clusters_to_find",
    "collection_plan",
    "design_factor",
    "exact_limits_frac",
    "look_plan",
    "looked_at",
    "missed_frac",
    "missed_in_bed_frac",
    "missed_in_cluster_frac",
    "none_found_among_plants_frac",
    "none_found_credible_frac",
    "none_found_limit_frac",
    "none_found_limit_in_bed",
    "plants_for_spread",
    "rusted_units",
    "units_for_reach",
    "units_for_spread",
    "units_of_bed",
    "units_to_find",
    "units_to_find_in_bed",
    "units_to_find_nearly",
    "units_to_find_poisson",
    "wilson_limits_frac",
]
