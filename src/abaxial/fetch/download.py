"""One text from the network: with a time limit, a few tries, and a kept copy for when there is no network."""

import hashlib
import json
import os
import tempfile
import time
import urllib.error
import urllib.request
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from http.client import HTTPException
from pathlib import Path
from urllib.parse import urlsplit

from abaxial import __version__
from abaxial.errors import OfflineError, RequestError

#: the service is busy or stumbled: worth another try
_AGAIN = {408, 425, 429, 500, 502, 503, 504}
_FIRST_WAIT_S = 0.5
_MOST_BYTES = 64 * 1024 * 1024


@dataclass(frozen=True)
class Fetched:
    """A fetched text. from_cache : whether it is the kept copy. fetched_at : when it came from the network, UTC."""

    text: str
    from_cache: bool
    fetched_at: datetime


def get_json_text(
    url: str,
    *,
    cache_folder: Path,
    now: datetime,
    max_age_h: float = 1.0,
    timeout_s: float = 15.0,
    tries: int = 3,
) -> Fetched:
    """The JSON text at an address.

    url : http or https. cache_folder : where copies are kept; made if missing. now : with its zone. max_age_h : a
    copy younger than this is used without asking. timeout_s : for each try. tries : 1 or more, with a doubled pause
    between. Raises OfflineError if the network or the service does not answer or answers nonsense, saying how old the
    kept copy is and how to go on with it; RequestError if the service understood and refused. A kept copy is never
    spoilt by a bad answer.
    """
    kept = _kept(cache_folder, url)
    if kept is not None and timedelta() <= now - kept.fetched_at <= timedelta(hours=max_age_h):
        return kept
    trouble = "it was not asked"
    for attempt in range(max(tries, 1)):
        if attempt:
            time.sleep(_FIRST_WAIT_S * 2 ** (attempt - 1))
        try:
            text = _ask(url, timeout_s)
            json.loads(text)
        except urllib.error.HTTPError as refusal:
            trouble = f"it answered {refusal.code} {refusal.reason}"
            if refusal.code not in _AGAIN:
                raise _refused(url, refusal) from None
        except (OSError, HTTPException) as failure:
            trouble = _plain(failure)
        except ValueError:
            trouble = "its answer is not JSON"
        else:
            _keep(cache_folder, url, text, now)
            return Fetched(text, False, now)
    raise _offline(url, trouble, kept, now)


def cached_text(url: str, *, cache_folder: Path) -> Fetched | None:
    """The kept copy of an address, however old; None if there is none. Never asks the network."""
    return _kept(cache_folder, url)


def _ask(url: str, timeout_s: float) -> str:
    if urlsplit(url).scheme not in ("http", "https"):
        raise RequestError(f"{url!r} is not an http or https address.", remedy="Check ABAXIAL_FORECAST_URL.")
    request = urllib.request.Request(
        url, headers={"User-Agent": f"abaxial/{__version__}", "Accept": "application/json"}
    )
    started = time.monotonic()
    pieces: list[bytes] = []
    with urllib.request.urlopen(request, timeout=timeout_s) as answer:
        # the socket's limit holds for each piece; a trickling answer must end as well
        while piece := answer.read1(65536):
            pieces.append(piece)
            if time.monotonic() - started > 4 * timeout_s or sum(map(len, pieces)) > _MOST_BYTES:
                raise TimeoutError("the answer does not end")
    content = b"".join(pieces)
    length = answer.headers.get("Content-Length")
    if length is not None and length.isdigit() and len(content) < int(length):
        raise ConnectionError("the answer broke off")
    return content.decode("utf-8")


def _plain(failure: BaseException) -> str:
    reason = getattr(failure, "reason", failure)
    if isinstance(reason, TimeoutError):
        return "it did not answer in time"
    if isinstance(reason, ConnectionRefusedError):
        return "it refused the connection"
    return f"there is no connection ({reason})"


def _refused(url: str, refusal: urllib.error.HTTPError) -> RequestError:
    """The service's own reason, where it gives one as {"error": true, "reason": …}."""
    try:
        answer = json.loads(refusal.read(65536))
        reason = str(answer["reason"])
    except (ValueError, KeyError, TypeError, OSError):
        reason = str(refusal.reason)
    return RequestError(
        f"{_host(url)} refused the request ({refusal.code}): {reason}.",
        remedy="Check the place and the dates.",
        where=url,
    )


def _offline(url: str, trouble: str, kept: Fetched | None, now: datetime) -> OfflineError:
    what = f"{_host(url)} could not be reached: {trouble}."
    if kept is None:
        remedy = (
            "There is no copy from an earlier day. Everything else works without the network: "
            "write down rain and temperature, or add a weather file."
        )
    else:
        age_h = max((now - kept.fetched_at) / timedelta(hours=1), 0.0)
        age = f"{age_h:.0f} hours" if age_h < 48 else f"{age_h / 24:.0f} days"
        remedy = (
            f"The copy of {kept.fetched_at:%Y-%m-%d %H:%M} UTC ({age} old) is kept and can still be used; "
            "try again when there is a connection."
        )
    return OfflineError(what, remedy=remedy, where=url)


def _host(url: str) -> str:
    return urlsplit(url).hostname or url


def _path(folder: Path, url: str) -> Path:
    return folder / f"{hashlib.sha256(url.encode()).hexdigest()[:24]}.json"


def _kept(folder: Path, url: str) -> Fetched | None:
    """The kept copy; a damaged one counts as none."""
    try:
        stored = json.loads(_path(folder, url).read_text(encoding="utf-8"))
        if stored["url"] != url:
            return None
        return Fetched(str(stored["text"]), True, datetime.fromisoformat(stored["fetched_at"]).astimezone(UTC))
    except (OSError, ValueError, KeyError, TypeError):
        return None


def _keep(folder: Path, url: str, text: str, now: datetime) -> None:
    """Write the copy beside the old one and put it in its place at once. A full or locked disk costs only the copy."""
    content = json.dumps({"url": url, "fetched_at": now.astimezone(UTC).isoformat(), "text": text})
    try:
        folder.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=folder, suffix=".part")
        try:
            with os.fdopen(handle, "w", encoding="utf-8") as file:
                file.write(content)
            os.replace(name, _path(folder, url))
        except OSError:
            Path(name).unlink(missing_ok=True)
    except OSError:
        return
