"""Versions put away as bytes and taken out again, so that a walk tomorrow begins where yesterday's ended."""

import io
import zipfile
from collections.abc import Sequence

import numpy as np

from abaxial.assimilation import garden_story, unknowns
from abaxial.assimilation.estimate import Progress, Weighed
from abaxial.assimilation.garden_story import Look, Then
from abaxial.assimilation.proposals import Cloud
from abaxial.assimilation.sampler import Told
from abaxial.assimilation.unknowns import Unknowns
from abaxial.epidemic import simulate
from abaxial.epidemic.simulate import Season
from abaxial.errors import FaultError

_NUMBERS = ("accepted_frac", "log_evidence", "effective", "log_weight", "log_likelihood", "steps")
_BANDS, _SCORES = ("expected", "before", "after"), ("tail_frac", "crps_frac", "chance_frac")


def put_away(progress: Progress) -> bytes:
    """Where the versions stand after some walks, in NumPy's own archive."""
    told = progress.told
    held = {name: np.asarray(getattr(told, name)) for name in _NUMBERS}
    held |= {f"cloud_{name}": np.asarray(values) for name, values in told.cloud._asdict().items()}
    held |= {
        f"look_{name}": np.array([getattr(each, name) for each in progress.weighed]) for name in (*_BANDS, *_SCORES)
    }
    held |= {"rows": told.state.rows, "record": told.state.record, "day": np.asarray(told.state.day)}
    into = io.BytesIO()
    np.savez(into, **held)  # type: ignore[arg-type]
    return into.getvalue()


def taken_out(season: Season, asked: Unknowns, looks: Sequence[Look], text: bytes) -> Progress:
    """The same again. season, asked : the garden's, as they were. looks : those that had been taken in, and any later.

    Raises FaultError where the bytes are not what `put_away` made of such a garden.
    """
    try:
        with np.load(io.BytesIO(text), allow_pickle=False) as held:
            read = {name: held[name] for name in held.files}
        cloud = Cloud(*(read[f"cloud_{name}"] for name in Cloud._fields))
        if cloud.known.shape[1] != len(asked.names) or read["rows"].shape[:2] != simulate.clean(season, 0).shape[:2]:
            raise FaultError("A checkpoint of another garden.")
        state = Then(
            read["rows"], unknowns.versions_of(asked, cloud, season.by_strength), read["record"], int(read["day"])
        )
        batches = garden_story.batches_of(looks)[: read["log_evidence"].size]
        taken = [look for batch in batches for look in batch]
        bands = zip(*(read[f"look_{name}"] for name in _BANDS), strict=True)
        scores = zip(*(read[f"look_{name}"].tolist() for name in _SCORES), strict=True)
        weighed = tuple(Weighed(look, *band, *score) for look, band, score in zip(taken, bands, scores, strict=True))
        told = Told(
            cloud,
            state,
            read["log_weight"],
            read["log_likelihood"],
            tuple(read["log_evidence"].tolist()),
            tuple(read["effective"].tolist()),
            float(read["accepted_frac"]),
            read["steps"],
        )
        return Progress(told, weighed)
    except (KeyError, ValueError, OSError, zipfile.BadZipFile) as error:
        raise FaultError(f"A checkpoint cannot be read: {error}.") from None
