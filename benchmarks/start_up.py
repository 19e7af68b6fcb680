"""The command line: seconds of `abaxial --help`, of the first demo after installing (it compiles) and of the next.

The compiled code goes to an empty folder of its own, so that the first run is a first run.
"""

import os
import subprocess
import sys
import tempfile
import time


def seconds_of(arguments: list[str], environment: dict[str, str]) -> float:
    """Wall seconds of one command."""
    begin = time.perf_counter()
    subprocess.run(
        [sys.executable, "-c", "from abaxial.cli.main import main; main()", *arguments],
        check=True,
        capture_output=True,
        env=environment,
    )
    return time.perf_counter() - begin


def measure() -> dict[str, float]:
    """Seconds of help (best of five), of the first run and of the second."""
    with tempfile.TemporaryDirectory() as folder:
        environment = {**os.environ, "XDG_CACHE_HOME": folder}
        demo = ["demo", os.path.join(folder, "garden")]
        return {
            "help_s": min(seconds_of(["--help"], environment) for _ in range(5)),
            "first_demo_s": seconds_of(demo, environment),
            "next_demo_s": seconds_of(demo, environment),
        }


if __name__ == "__main__":
    print("  ".join(f"{name} {value:.2f}" for name, value in measure().items()))
