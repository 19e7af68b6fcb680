"""Yesterday's versions taken up again: what was computed is valid while all it came from is unchanged."""

import hashlib
from collections.abc import Mapping
from datetime import date
from typing import TYPE_CHECKING

from abaxial import __version__, hours
from abaxial.assimilation import keeping
from abaxial.assimilation.estimate import Asked, Progress
from abaxial.assimilation.garden_story import Look
from abaxial.assimilation.unknowns import Unknowns
from abaxial.epidemic.simulate import Season
from abaxial.errors import FaultError
from abaxial.season.planting_week import Grown

if TYPE_CHECKING:
    # a description is opened without waiting for the database
    from abaxial.season.opening.shelf import Shelf

#: how many walks back a checkpoint is looked for
_WALKS_BACK = 3
_KEY = "estimate"


def resumed(
    shelf: "Shelf", season: Season, unknowns: Unknowns, grown: Grown, asked: tuple[Asked, tuple[Look, ...]]
) -> Progress | None:
    """The versions after the last walk that is on the shelf and still true; None where there is none."""
    wanted, looks = asked
    for last in sorted({each.sighting.on for each in looks}, reverse=True)[:_WALKS_BACK]:
        before = tuple(each for each in looks if each.sighting.on <= last)
        text = shelf.take(_key(wanted), _until(last), _parameters(wanted, grown, before))
        if text is not None:
            try:
                return keeping.taken_out(season, unknowns, before, text)
            except FaultError:
                return None
    return None


def kept(shelf: "Shelf", grown: Grown, asked: tuple[Asked, tuple[Look, ...]], progress: Progress) -> None:
    """Put the versions after the last walk on the shelf."""
    wanted, looks = asked
    last = max(each.sighting.on for each in looks)
    shelf.keep(_key(wanted), _until(last), _parameters(wanted, grown, looks), keeping.put_away(progress))


def _key(wanted: Asked) -> str:
    return f"{_KEY} {wanted.versions} {wanted.seed}"


def _until(last: date) -> int:
    """The garden day that ended as the leaves were turned."""
    return hours.day_of(last) - 1


def _parameters(wanted: Asked, grown: Grown, looks: tuple[Look, ...]) -> Mapping[str, str]:
    """What the versions came from besides the journal and the weather."""
    told = "\n".join(repr(each) for each in looks)
    used = {each.stand.species.key: each.stand.species.digest for each in grown.here}
    used |= {each.biology.rust.key: each.biology.rust.digest for each in grown.here}
    return {
        **used,
        "looks": hashlib.sha256(told.encode()).hexdigest(),
        "version": __version__,
        "first_day": str(grown.sky.when.first_day),
        "plantings": "\n".join(each.stand.planting.name for each in grown.here),
        "size": f"{wanted.versions} {wanted.weathers} {wanted.biologies} {wanted.seed}",
    }
