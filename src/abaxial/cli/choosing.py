"""The choice of a plan, watched: how far it has come is shown, and Ctrl-C ends it with the best plan so far."""

import signal
import sys
import threading
import time
from contextlib import suppress
from types import FrameType, TracebackType
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from abaxial.plan.choose.solve import Standing
    from abaxial.season.planning.plan import Trying

#: a line that changes oftener than this cannot be read [s]
_EVERY_S = 0.2
_STOPPING = "Ctrl-C: the best plan so far is taken. Once more leaves without one."


def watched(seconds: float, *, as_json: bool) -> "Trying":
    """How the choice is tried for a command: shown on a terminal unless JSON is asked for, and stopped by hand.

    seconds : for how long, 0 or more.
    """
    from abaxial.season.planning.plan import Trying

    watch = _Watch(is_shown=not as_json and sys.stderr.isatty())
    return Trying(seconds, watch.hear, watch.is_stopped, watch)


class _Watch:
    """What is heard of one choice. Outside of it Ctrl-C does what it always does."""

    def __init__(self, *, is_shown: bool) -> None:
        self.is_shown, self.stopped, self.width = is_shown, False, 0
        self.begun = self.shown_at = time.monotonic()
        self.standing: Standing | None = None
        self.listens = False

    def __enter__(self) -> "_Watch":
        self.begun, usual = time.monotonic(), signal.getsignal(signal.SIGINT) is signal.default_int_handler
        # a command that was started deaf to Ctrl-C stays deaf
        self.listens = usual and threading.current_thread() is threading.main_thread()
        if self.listens:
            signal.signal(signal.SIGINT, self._stop)
        self._show()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._wipe()
        if self.listens:
            signal.signal(signal.SIGINT, signal.default_int_handler)

    def hear(self, standing: "Standing") -> None:
        """A better plan was found."""
        self.standing = standing
        self._show()

    def is_stopped(self) -> bool:
        """Whether somebody stopped it; asked so often that the clock is shown with it."""
        if time.monotonic() - self.shown_at >= _EVERY_S:
            self._show()
        return self.stopped

    def _stop(self, number: int, frame: FrameType | None) -> None:
        # an error raised inside the solver would be lost there, so the second one is the system's own
        signal.signal(signal.SIGINT, signal.SIG_DFL)
        self.stopped = True
        with suppress(RuntimeError):  # it came in the middle of a line being written
            self._wipe()
            click.echo(_STOPPING, err=True)

    def _show(self) -> None:
        if not self.is_shown or self.stopped:
            return
        from abaxial.report.words.plan.because import progress_words

        self.shown_at = time.monotonic()
        at = self.standing
        best = None if at is None else (at.objective, at.bound)
        told = progress_words(self.shown_at - self.begun, best)
        click.echo(f"\r{told.ljust(self.width)}", err=True, nl=False)
        self.width = len(told)

    def _wipe(self) -> None:
        if self.width:
            click.echo(f"\r{' ' * self.width}\r", err=True, nl=False)
            self.width = 0
