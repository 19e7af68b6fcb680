"""What a gardener may set, by name: what things are worth, rules made tighter, limits of spraying, the sprayer's size."""

from collections.abc import Mapping
from difflib import get_close_matches

from abaxial.errors import AbaxialError, GardenError
from abaxial.label import limits as rules
from abaxial.label.window.limits import Limits, read_limits, tightened

#: of a sprayer that one person carries [l]
_TANK_L = (0.1, 100.0)


def strange(values: Mapping[str, float]) -> list[str]:
    """What is wrong with values that a gardener set, in short sentences. values : by name."""
    found = (_wrong(name, value) for name, value in values.items())
    return [each for each in found if each]


def refuse_strange(values: Mapping[str, float], *, where: str) -> None:
    """Raise GardenError for values of a description that cannot be set. where : the file, for messages."""
    wrong = strange(values)
    if wrong:
        raise GardenError(
            f"{where}, values: {' '.join(wrong)}", remedy="Mend this in the file, then try again.", where=where
        )


def _wrong(name: str, value: float) -> str:
    """What the room that uses a value says against it; nothing where it may be set."""
    # what things are worth stands beside the roll-outs, which load slowly; most gardens set nothing
    from abaxial.plan.cost import Values, own_values

    worth = tuple(Values.__dataclass_fields__)
    names = (*worth, "tank_l", *rules.printed(), *Limits._fields)
    if name not in names:
        near = get_close_matches(name, names, n=1, cutoff=0.5)
        return f"there is no value called {name!r}. " + (
            f"Did you mean {near[0]}?" if near else f"Known are {', '.join(names)}."
        )
    if name == "tank_l":
        low, high = _TANK_L
        return "" if low <= value <= high else f"tank_l is {value:g}; it must lie between {low:g} and {high:g}."
    try:
        if name in worth:
            own_values({name: value}, where=name)
        elif name in rules.printed():
            rules.rules_from({name: value}, where=name)
        else:
            tightened(read_limits(), {name: value})
    except AbaxialError as error:
        return error.message.removeprefix(f"{name}: ")
    return ""
