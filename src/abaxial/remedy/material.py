"""A material as its file describes it: what it is, what it does to rust, how long it lasts, what to beware of."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from abaxial.errors import ParameterError
from abaxial.provenance import Files, Parameter, digest, read_parameter, read_table, read_text, refuse_unknown

#: what is physically possible for each number; which ones a file must give depends on what the material does
LIMITS: Mapping[str, tuple[float, float]] = {
    "protect_most_frac": (0.0, 0.999),
    "protect_per_dose": (0.1, 20.0),
    "germination_frac": (0.0, 1.0),
    "cure_most_frac": (0.0, 0.999),
    "reach_d": (0.5, 40.0),
    "decay_per_d": (0.0, 2.0),
    "half_wash_mm": (0.5, 500.0),
    "through_leaf_frac": (0.0, 1.0),
    "to_new_frac": (0.0, 1.0),
    "rain_fast_h": (0.0, 72.0),
    "interval_d": (1.0, 90.0),
    "most_rusted_frac": (0.0, 1.0),
    "heat_stop_c": (15.0, 45.0),
    "heat_warn_c": (15.0, 45.0),
}
_ALWAYS = ("rain_fast_h", "interval_d")
_PROTECTANT = (
    "protect_most_frac", "protect_per_dose", "germination_frac", "decay_per_d", "half_wash_mm", "through_leaf_frac",
    "to_new_frac",
)  # fmt: skip
_CURATIVE = ("cure_most_frac", "reach_d", "protect_per_dose", "decay_per_d", "half_wash_mm", "through_leaf_frac")
RISKS = ("low", "medium", "high", "none")
KINDS = ("fungicide", "oil", "salt", "sulfur", "copper", "biological", "soap", "not_a_fungicide")
MOBILITIES = ("contact", "translaminar", "acropetal", "none")
#: what there is to beware of; the words for it are made where it is shown
CAUTIONS = (
    "fish", "bees", "skin_and_eyes", "heat", "drought", "cold_and_wet", "soil_build_up", "waxy_leaves",
    "sensitive_plants", "growth_check", "hard_water", "weak_on_rust", "withdrawn_in_places", "resistance_reported",
    "not_with_sulfur", "not_with_oil", "not_with_acids",
)  # fmt: skip
_FILES = Files("material", Path(__file__).parent / "materials", "materials")
_TEXTS = ("name", "risk", "kind", "mobility", "note")
_LISTS = ("codes", "cautions", "never_mixed_with")
_KNOWN = (*_TEXTS, *_LISTS, "protectant", "curative", "apart", "better_apart", "numbers")


@dataclass(frozen=True)
class Material:
    """One active ingredient, or one plain substance.

    codes : FRAC codes; two materials that share one are the same to a rust. risk : of resistance. protectant, curative :
    whether it keeps rust out, and whether it reaches what is in. apart : days that must lie between it and a kind, or a
    material; better_apart : days that should. never_mixed_with : kinds, materials or other things that may not share a
    tank with it. digest : hash of its file.
    """

    key: str
    name: str
    codes: tuple[str, ...]
    risk: str
    kind: str
    protectant: bool
    curative: bool
    mobility: str
    numbers: Mapping[str, Parameter] = field(hash=False)
    cautions: tuple[str, ...]
    apart: Mapping[str, int] = field(hash=False)
    better_apart: Mapping[str, int] = field(hash=False)
    never_mixed_with: tuple[str, ...]
    note: str
    digest: str

    def __getitem__(self, name: str) -> float:
        """The central value of a number."""
        return self.numbers[name].value

    @property
    def acts_on_rust(self) -> bool:
        """Whether putting it on counts as a spray against rust at all."""
        return self.protectant or self.curative


def material_keys(folder: Path | None = None) -> tuple[str, ...]:
    """The keys of all materials that can be read: ours and those in `folder`/materials."""
    return _FILES.keys(folder)


def read_material(key: str, folder: Path | None = None) -> Material:
    """The material of that key, from `folder`/materials if it is there, else from ours.

    Raises ParameterError, naming file, name, rule and value, where the file breaks a rule.
    """
    return _read(_FILES.path(key, folder))


def cross_resistant(one: Material, other: Material) -> bool:
    """Whether a rust that has learned to live with one lives with the other too: they share a FRAC code.

    "NC", not classified, names no way of acting, so two of those share none.
    """
    return bool((set(one.codes) & set(other.codes)) - {"NC"})


def _read(path: Path) -> Material:
    table = read_table(path)
    refuse_unknown(table, _KNOWN, path)
    texts = {name: read_text(table, name, path) for name in _TEXTS}
    for name, known in (("risk", RISKS), ("kind", KINDS), ("mobility", MOBILITIES)):
        _refuse_strange([texts[name]], known, name, path)
    lists = {name: _texts(table.get(name, []), name, path) for name in _LISTS}
    _refuse_strange(lists["cautions"], CAUTIONS, "cautions", path)
    protectant, curative = (_yes_or_no(table.get(name), name, path) for name in ("protectant", "curative"))
    if texts["kind"] == "not_a_fungicide" and (protectant or curative or lists["codes"]):
        raise ParameterError(
            f"{path}: a material that is not a fungicide has no codes, protects from nothing and cures nothing.",
            remedy="Mend kind, or codes, protectant and curative.",
        )
    return Material(
        key=path.stem,
        name=texts["name"],
        codes=lists["codes"],
        risk=texts["risk"],
        kind=texts["kind"],
        protectant=protectant,
        curative=curative,
        mobility=texts["mobility"],
        numbers=_numbers(table, (protectant, curative), texts["mobility"], path),
        cautions=lists["cautions"],
        apart=_days(table.get("apart", {}), "apart", path),
        better_apart=_days(table.get("better_apart", {}), "better_apart", path),
        never_mixed_with=lists["never_mixed_with"],
        note=texts["note"],
        digest=digest(path.read_bytes()),
    )


def _numbers(table: Mapping[str, Any], does: tuple[bool, bool], mobility: str, path: Path) -> Mapping[str, Parameter]:
    given = table.get("numbers")
    if not isinstance(given, dict):
        raise ParameterError(f"{path}: there is no [numbers] table.", remedy="Copy one of our files and change it.")
    refuse_unknown(given, LIMITS, path)
    protectant, curative = does
    needed = (*_ALWAYS, *(_PROTECTANT if protectant else ()), *(_CURATIVE if curative else ()))
    names = dict.fromkeys((*needed, *given))
    read = {name: read_parameter(name, given.get(name), limits=LIMITS[name], path=path) for name in names}
    for name, moves in (("through_leaf_frac", ("translaminar", "acropetal")), ("to_new_frac", ("acropetal",))):
        if name in read and read[name].value > 0.0 and mobility not in moves:
            raise ParameterError(
                f"{path}: {name} is {read[name].value:g}, and mobility is {mobility!r}.",
                remedy=f"Only a material that moves has it: {' or '.join(moves)}. Write 0, or mend mobility.",
            )
    return read


def _refuse_strange(values: Iterable[str], known: tuple[str, ...], name: str, path: Path) -> None:
    strange = [each for each in values if each not in known]
    if strange:
        raise ParameterError(
            f"{path}: {name} holds {strange[0]!r}, which nobody here knows.", remedy=f"Known are {', '.join(known)}."
        )


def _texts(value: object, name: str, path: Path) -> tuple[str, ...]:
    if not isinstance(value, list) or not all(isinstance(each, str) for each in value):
        raise ParameterError(f"{path}: {name} is {value!r}, not a list of texts.", remedy=f'Write {name} = ["…"].')
    return tuple(value)


def _yes_or_no(value: object, name: str, path: Path) -> bool:
    if not isinstance(value, bool):
        raise ParameterError(f"{path}: {name} is {value!r}.", remedy=f"Write {name} = true or {name} = false.")
    return value


def _days(value: object, name: str, path: Path) -> Mapping[str, int]:
    whole = isinstance(value, dict) and all(type(days) is int and days >= 0 for days in value.values())
    if not whole:
        raise ParameterError(
            f"{path}: {name} is {value!r}; it must name whole days.", remedy=f"Write {name} = {{ sulfur = 14 }}."
        )
    return dict(value)  # type: ignore[call-overload,no-any-return]
