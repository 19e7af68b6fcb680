"""The command `abaxial`: its commands, and how everything that goes wrong is told.

Rooms are imported inside the commands, so that help and mistakes are told without waiting for the science.
"""

import io
import os
import sys
import traceback

import click

from abaxial import __version__, settings
from abaxial.cli import check, demo, garden, week
from abaxial.cli.journal import note, walk
from abaxial.cli.tending import dispose, mix, shelf, stock, when
from abaxial.cli.weather import group as weather
from abaxial.errors import AbaxialError, FaultError, RequestError

INTERRUPTED, PIPE_CLOSED = 130, 1


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, message="%(prog)s %(version)s")
def abaxial() -> None:
    """Leaf rust in a garden: from weather to leaf to what to do this week.

    \b
    Begin with the invented garden:      abaxial demo
    Then describe your own:              abaxial garden new
    and every few days:                  abaxial week
    """


abaxial.add_command(demo.demo)
abaxial.add_command(week.week)
abaxial.add_command(garden.garden)
abaxial.add_command(note.note)
abaxial.add_command(walk.walk)
abaxial.add_command(shelf.shelf)
abaxial.add_command(mix.mix)
abaxial.add_command(when.when)
abaxial.add_command(dispose.dispose)
abaxial.add_command(stock.stock)
abaxial.add_command(weather.weather)
abaxial.add_command(check.check)


def main() -> None:
    """Run the command line of this process and leave with its exit code."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # a screen that has no sign for a degree shows a question mark rather than an error
            stream.reconfigure(errors="replace")
    sys.exit(run(sys.argv[1:]))


def run(arguments: list[str]) -> int:
    """Run one command. Returns 0, 2 for a mistake in what was given, 1 for a fault of ours or a failed check."""
    try:
        code = abaxial.main(arguments, prog_name="abaxial", standalone_mode=False)
        sys.stdout.flush()
    except (BrokenPipeError, click.exceptions.Abort, KeyboardInterrupt) as stop:
        return _leave_quietly(stop)
    except SystemExit as leaving:
        return leaving.code if isinstance(leaving.code, int) else 1
    except Exception as error:
        told = _explained(error)
        _tell(told, arguments)
        return told.exit_code
    return code if isinstance(code, int) else 0


def _explained(error: Exception) -> AbaxialError:
    """The same error as one of the family, with something to do about it."""
    if isinstance(error, AbaxialError):
        return error
    if isinstance(error, click.UsageError):
        command = error.ctx.command_path if error.ctx else "abaxial"
        return RequestError(error.format_message(), remedy=f"See: {command} --help", where=command)
    if isinstance(error, click.ClickException):
        return RequestError(error.format_message(), remedy="See: abaxial --help")
    if isinstance(error, OSError) and error.filename:
        return RequestError(f"{error.filename}: {error.strerror}.", remedy="Check the name, or choose another folder.")
    if settings.value_of("ABAXIAL_DEBUG"):
        traceback.print_exception(error)
    return FaultError(
        f"Something went wrong inside Abaxial: {type(error).__name__}: {error}",
        remedy="This is our mistake, not yours. Nothing was changed. Please report it with the command you gave; "
        "with ABAXIAL_DEBUG=1 before the command it shows where it happened.",
    )


def _tell(error: AbaxialError, arguments: list[str]) -> None:
    if "--json" in arguments:
        from abaxial.report import render

        click.echo(render.error_json(error, _command_in(arguments)), nl=False)
        return
    click.echo(error.message, err=True)
    if error.remedy:
        click.echo(f"What to do: {error.remedy}", err=True)


def _command_in(arguments: list[str]) -> str:
    """The command that was given, its words joined, as schemas name it."""
    words: list[str] = []
    here: click.Command = abaxial
    for word in arguments:
        if not isinstance(here, click.Group) or word not in here.commands:
            break
        words.append(word)
        here = here.commands[word]
    return "-".join(words) or "abaxial"


def _leave_quietly(stop: BaseException) -> int:
    """Whoever read us has left, or the person has: say nothing, also not while the streams close."""
    if not isinstance(stop, BrokenPipeError):
        return INTERRUPTED
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return PIPE_CLOSED
