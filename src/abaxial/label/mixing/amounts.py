"""How much: of spray for foliage, of product for a rate, of product for an active ingredient."""

from typing import Any

_FL_OZ_PER_GALLON = 128.0
_FL_OZ_ML = 29.5735295625
_GALLON_L = 3.785411784
_TEASPOONS_PER_QUART = 192.0


def leaf_area_m2(ground_m2: Any, leaf_area_index: Any) -> Any:
    """Leaf area of a bed, one side counted [m²].

    ground_m2 : any shape [m²], 0 or more. leaf_area_index : one side, 0 to 12.
    """
    return ground_m2 * leaf_area_index


def faces_m2(ground_m2: Any, leaf_area_index: Any) -> Any:
    """Leaf area of a bed with both faces counted [m²], for rust sits below and spores land above.

    ground_m2 : any shape [m²], 0 or more. leaf_area_index : one side, 0 to 12.
    """
    return 2.0 * leaf_area_m2(ground_m2, leaf_area_index)


def foliage_l(leaf_area_m2: Any, leaf_ml_per_m2: Any) -> Any:
    """Spray that wets foliage on both faces [L].

    leaf_area_m2 : any shape, one side counted [m²], 0 or more. leaf_ml_per_m2 : see habits, 30 to 70.
    """
    return leaf_area_m2 * leaf_ml_per_m2 / 1000.0


def product_ml(volume_l: Any, rate_ml_per_l: Any) -> Any:
    """Product in a volume of spray [mL], or [g] where the rate is in grams.

    volume_l : any shape [L], 0 or more. rate_ml_per_l : of the label [mL/L or g/L], above 0.
    """
    return volume_l * rate_ml_per_l


def product_fl_oz(volume_gal: Any, rate_fl_oz_per_gal: Any) -> Any:
    """Product in a volume of spray [US fl oz].

    volume_gal : any shape [US gal], 0 or more. rate_fl_oz_per_gal : of the label, above 0.
    """
    return volume_gal * rate_fl_oz_per_gal


def rate_fl_oz_per_gal(rate_fl_oz_per_acre: Any, volume_gal_per_acre: Any) -> Any:
    """Product in a gallon where the label gives it to the acre [US fl oz/gal].

    rate_fl_oz_per_acre : any shape, above 0. volume_gal_per_acre : what the sprayer gives, above 0.
    """
    return rate_fl_oz_per_acre / volume_gal_per_acre


def rate_ml_per_l(rate_ml_per_m2: Any, volume_l_per_m2: Any) -> Any:
    """Product in a litre where the label gives it to the square metre of ground [mL/L].

    rate_ml_per_m2 : any shape, above 0. volume_l_per_m2 : spray on that ground [L/m²], above 0.
    """
    return rate_ml_per_m2 / volume_l_per_m2


def share_ml_per_l(share_frac: Any) -> Any:
    """Product in a litre where the label gives a share of the volume [mL/L].

    share_frac : any shape, 0 to 1.
    """
    return 1000.0 * share_frac


def ounces_ml_per_l(rate_fl_oz_per_gal: Any) -> Any:
    """Product in a litre where the label gives ounces to the gallon [mL/L]: one is 7.8125.

    rate_fl_oz_per_gal : any shape, 0 or more.
    """
    return 1000.0 * rate_fl_oz_per_gal / _FL_OZ_PER_GALLON


def teaspoons_share_frac(teaspoons: Any, quarts: Any) -> Any:
    """Share of the volume that level teaspoons in quarts are; a tablespoon is three teaspoons, a gallon four quarts.

    teaspoons : any shape, 0 or more. quarts : US, above 0.
    """
    return teaspoons / (_TEASPOONS_PER_QUART * quarts)


def ml_of_fl_oz(fl_oz: Any) -> Any:
    """A volume [mL].

    fl_oz : any shape [US fl oz].
    """
    return fl_oz * _FL_OZ_ML


def l_of_gal(gal: Any) -> Any:
    """A volume [L].

    gal : any shape [US gal].
    """
    return gal * _GALLON_L


def product_g_for_active(active_g: Any, strength_frac: Any) -> Any:
    """Product that holds an amount of active ingredient [g], or any other weight that active_g is in.

    active_g : any shape [g], 0 or more. strength_frac : share of the product that is active, above 0 to 1.
    """
    return active_g / strength_frac


def product_pt_for_active(active_lb: Any, strength_lb_per_gal: Any) -> Any:
    """Liquid product that holds an amount of active ingredient [US pt].

    active_lb : any shape [lb], 0 or more. strength_lb_per_gal : active in a gallon of product, above 0.
    """
    return 8.0 * active_lb / strength_lb_per_gal


def least_measurable(graduation: Any, misread_frac: Any) -> Any:
    """Smallest amount that a measure can measure, in the unit of its graduations.

    graduation : between two graduations, any shape, above 0. misread_frac : see habits.
    """
    return graduation / misread_frac
