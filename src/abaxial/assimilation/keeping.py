"""Versions put away as bytes and taken out again, so that a walk tomorrow begins where yesterday's ended."""

import io
import zipfile

import numpy as np

from abaxial.assimilation import unknowns
from abaxial.assimilation.garden_story import Then
from abaxial.assimilation.proposals import Cloud
from abaxial.assimilation.sampler import Told
from abaxial.assimilation.unknowns import Unknowns
from abaxial.epidemic.simulate import Season
from abaxial.errors import FaultError

_NUMBERS = ("accepted_frac", "log_evidence", "effective", "log_weight", "log_likelihood", "steps")


def put_away(told: Told[Then]) -> bytes:
    """Versions as they stand after a walk, in NumPy's own archive."""
    held = {name: np.asarray(getattr(told, name)) for name in _NUMBERS}
    held |= {f"cloud_{name}": np.asarray(values) for name, values in told.cloud._asdict().items()}
    held |= {"rows": told.state.rows, "record": told.state.record, "day": np.asarray(told.state.day)}
    into = io.BytesIO()
    np.savez(into, **held)  # type: ignore[arg-type]
    return into.getvalue()


def taken_out(asked: Unknowns, season: Season, text: bytes) -> Told[Then]:
    """The same versions again. asked, season : the garden's, as they were. Raises FaultError where the bytes are not
    what `put_away` made of such a garden."""
    try:
        with np.load(io.BytesIO(text), allow_pickle=False) as held:
            read = {name: held[name] for name in held.files}
        cloud = Cloud(*(read[f"cloud_{name}"] for name in Cloud._fields))
        if cloud.known.shape[1] != len(asked.names):
            raise FaultError("A checkpoint of another garden.")
        versions = unknowns.versions_of(asked, cloud, season.by_strength)
        state = Then(read["rows"], versions, read["record"], int(read["day"]))
        return Told(
            cloud,
            state,
            read["log_weight"],
            read["log_likelihood"],
            tuple(read["log_evidence"].tolist()),
            tuple(read["effective"].tolist()),
            float(read["accepted_frac"]),
            read["steps"],
        )
    except (KeyError, ValueError, OSError, zipfile.BadZipFile) as error:
        raise FaultError(f"A checkpoint cannot be read: {error}.") from None
