"""In which order things go into a tank; read from order.toml. The label stands above it."""

from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import NamedTuple

from abaxial.errors import ParameterError, RequestError
from abaxial.provenance import read_table, refuse_unknown

_PATH = Path(__file__).with_name("order.toml")
_KNOWN = ("after", "dry", "where", "source", "how")


class Form(NamedTuple):
    """What a product comes as. name : its key. after : its place in the order. dry : whether it is weighed and stirred to
    a paste first."""

    name: str
    after: int
    dry: bool


@cache
def forms() -> Mapping[str, Form]:
    """The forms of order.toml by name. Raises ParameterError if the file breaks its rules."""
    table = read_table(_PATH).get("form", {})
    read = {}
    for name, body in table.items():
        refuse_unknown(body, _KNOWN, _PATH)
        if type(body.get("after")) is not int or type(body.get("dry")) is not bool:
            raise ParameterError(
                f"{_PATH}: {name} has after = {body.get('after')!r} and dry = {body.get('dry')!r}.",
                remedy="Write a whole number and true or false.",
            )
        read[name] = Form(name, body["after"], body["dry"])
    return read


def form_named(name: str) -> Form:
    """The form of that name. Raises RequestError if there is none."""
    found = forms().get(name)
    if found is None:
        raise RequestError(
            f"{name!r} is not a form that a product comes in.", remedy=f"Write one of {', '.join(forms())}."
        )
    return found


def in_order(names: Sequence[str]) -> tuple[int, ...]:
    """Places of forms in the order in which they go in; equals keep theirs. Raises RequestError for an unknown form."""
    return tuple(sorted(range(len(names)), key=lambda each: form_named(names[each]).after))
