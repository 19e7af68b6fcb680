"""The text of a file, or a clear word why there is none."""

from pathlib import Path

from abaxial.errors import WeatherError


def read_bytes(path: Path) -> bytes:
    """The content of a file. Raises WeatherError if there is none."""
    try:
        content = path.read_bytes()
    except OSError as error:
        raise WeatherError(
            f"{path} cannot be read: {error.strerror or error}.", remedy="Check the name and the folder."
        ) from None
    if not content.strip():
        raise WeatherError(f"{path} is empty.", remedy="Export it again from the station or logger.")
    return content


def decode(path: Path, content: bytes, encoding: str) -> str:
    """The text of a file. Raises WeatherError, with the line, if it is not in that encoding."""
    try:
        return content.decode(encoding)
    except LookupError:
        raise WeatherError(
            f"{path}: there is no encoding {encoding!r}.", remedy='Write encoding = "utf-8" or "latin-1".'
        ) from None
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise WeatherError(
            f"{path}, line {line}: a character is not {encoding}.", remedy='Try encoding = "latin-1".'
        ) from None
