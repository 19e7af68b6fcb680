"""One thing done about rust, with what its record says and what of it follows from the label."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from typing import NamedTuple

from abaxial.journal.body.details import REMEDIES, SPRAYED, clock_of, moment_in, said_in
from abaxial.label.bottle import Bottle

#: what an application's record needs before it is complete
NEEDED = ("started", "product", "water_l", "area_m2", "registration", "actives", "applicator", "reentry_until")


class Act(NamedTuple):
    """A remedy as it was written.

    plantings : those that stood on that day. table : remedy, material and details, as in a description. entry_id : ""
    for a description.
    """

    entry_id: str
    on: date
    plantings: tuple[str, ...]
    table: Mapping[str, object]


@dataclass(frozen=True)
class Treatment:
    """One thing done about rust. None, or empty, is what nobody said.

    remedy : one of REMEDIES, "other" for a word not known here, or "cut_down", "low_leaves_off", "rusted_leaves_off",
    "destroyed". bottle : the gardener's own name of it, as on the shelf where it stands there. codes, actives : as
    recorded, else as printed; what the files of the materials add is the business of `label`. product_ml, product_g : of the whole application. cover_lower_frac,
    cover_upper_frac : share of that level's leaf faces wetted, 0 to 1. started, ended, reentry_until : on the garden's
    clock. home_brew : never credited. disposal : one of the garden's DISPOSALS. said : all that was recorded, as it was.
    missing : what of NEEDED nobody said, of an application.
    """

    on: date
    remedy: str
    plantings: tuple[str, ...]
    entry_id: str = ""
    bottle: str = ""
    codes: tuple[str, ...] = ()
    actives: tuple[str, ...] = ()
    product_ml: float | None = None
    product_g: float | None = None
    water_l: float | None = None
    area_m2: float | None = None
    cover_lower_frac: float | None = None
    cover_upper_frac: float | None = None
    started: datetime | None = None
    ended: datetime | None = None
    reentry_until: datetime | None = None
    registration: str = ""
    applicator: str = ""
    home_brew: bool = False
    disposal: str = ""
    said: Mapping[str, object] = field(default_factory=dict)
    missing: tuple[str, ...] = ()

    @property
    def is_application(self) -> bool:
        """Whether something out of a bottle was put on leaves."""
        return bool(self.bottle) or self.remedy in SPRAYED


def treatment_of(act: Act, bottle: Bottle | None, zone: tzinfo) -> Treatment:
    """What an act amounts to. bottle : the one it names, if it stands on the shelf. zone : the garden's clock."""
    details = act.table.get("details", {})
    said = said_in(details) if isinstance(details, Mapping) else {}
    remedy = str(act.table.get("remedy", ""))
    label = bottle.label if bottle else None
    started, ended = _span(act.on, said, zone)
    treatment = Treatment(
        on=act.on,
        remedy=remedy if remedy in REMEDIES else "other",
        plantings=act.plantings,
        entry_id=act.entry_id,
        bottle=bottle.key if bottle else str(act.table.get("material", "")),
        codes=tuple(each.strip().upper() for each in said.get("codes", ())) or (label.codes if label else ()),
        actives=tuple(each.strip().lower() for each in said.get("actives", ()))
        or tuple(label.actives if label else ()),
        started=started,
        ended=ended,
        reentry_until=moment_in(said.get("reentry_until"), zone) or _reentry(bottle, ended or started),
        registration=said.get("registration", label.registration if label else ""),
        applicator=said.get("applicator", ""),
        home_brew=bottle is not None and bottle.kind == "home_brew",
        disposal=said.get("disposal", ""),
        said=said,
        product_ml=_number(said.get("product_ml")),
        product_g=_number(said.get("product_g")),
        water_l=_number(said.get("water_l")),
        area_m2=_number(said.get("area_m2")),
        cover_lower_frac=_number(said.get("cover_lower_frac")),
        cover_upper_frac=_number(said.get("cover_upper_frac")),
    )
    return _with_missing(treatment, bottle)


def _with_missing(treatment: Treatment, bottle: Bottle | None) -> Treatment:
    """The treatment with what its record still needs; of a home brew only when and how much, of other work nothing."""
    if not treatment.is_application:
        return treatment
    known = {**vars(treatment), "product": treatment.product_ml is not None or treatment.product_g is not None or None}
    lacking = tuple(name for name in NEEDED if known[name] in (None, "", ()))
    label = bottle.label if bottle else None
    silent = _silent(treatment, bottle)
    if label is not None and "registration" not in label.unwritten:
        # the label was read and bears none
        silent = (*silent, "registration")
    return replace(treatment, missing=tuple(name for name in lacking if name not in silent))


def _silent(treatment: Treatment, bottle: Bottle | None) -> tuple[str, ...]:
    if treatment.home_brew:
        return ("registration", "actives", "reentry_until")
    until_dry = bottle is not None and bottle.label is not None and bottle.label.reentry_when_dry
    return ("reentry_until",) if until_dry else ()


def _number(value: object) -> float | None:
    return float(value) if isinstance(value, int | float) else None


def _span(on: date, said: Mapping[str, object], zone: tzinfo) -> tuple[datetime | None, datetime | None]:
    """When it began and ended; what ends at an earlier clock hour ends the next day."""
    begin, end = clock_of(said.get("started")), clock_of(said.get("ended"))
    next_day = begin is not None and end is not None and end < begin
    return _at(on, begin, zone), _at(on + timedelta(days=1) if next_day else on, end, zone)


def _at(on: date, clock: time | None, zone: tzinfo) -> datetime | None:
    return None if clock is None else datetime.combine(on, clock, zone)


def _reentry(bottle: Bottle | None, end: datetime | None) -> datetime | None:
    """When the bed may be entered again, by the label; None where that is not known, or only once leaves are dry."""
    label = bottle.label if bottle else None
    if label is None or label.reentry_h is None or label.reentry_when_dry or end is None:
        return None
    # hours pass alike on a night when the clock is changed
    return (end.astimezone(UTC) + timedelta(hours=label.reentry_h)).astimezone(end.tzinfo)
