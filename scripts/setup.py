"""Brings a clone to the point where it runs: a virtual environment, the locked packages, and ourselves.

Standard library only, any Python from 3.6 on, so that even a machine with an old one gets a clear word. Every step is
skipped when nothing it depends on has changed since it last succeeded.
"""

import hashlib
import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
PYTHON = VENV / "bin" / "python"
OLDEST = (3, 11)
NEWER = ("python3.14", "python3.13", "python3.12", "python3.11")
# uv does not read pip's settings; a network that needs them needs them for both
SAME_FOR_UV = {"PIP_CERT": "SSL_CERT_FILE", "PIP_INDEX_URL": "UV_DEFAULT_INDEX"}


def ready(lock_name):
    """Make .venv hold what requirements/<lock_name>.lock lists, and the package itself."""
    _use_a_new_enough_python()
    os.chdir(str(ROOT))
    requirements = ROOT / "requirements"
    _environment()
    boot = requirements / "boot.lock"
    _once("installer", _hash(boot), [str(PYTHON), "-m", "pip", "install", "-q", "--require-hashes", "-r", str(boot)])
    lock = requirements / (lock_name + ".lock")
    # the lock names every package there is to install; see requirements/overrides.in
    _once(
        "packages",
        _hash(lock),
        _uv("--no-deps", "--require-hashes", "-r", str(lock)),
        covered_by=_hash(requirements / "dev.lock"),
    )
    ours = ROOT / "pyproject.toml"
    _once("abaxial", _hash(ours), _uv("--no-deps", "--no-build-isolation", "-e", str(ROOT)))


def run(*command, **extra):
    """Run a program of .venv in the root of the clone; returns its exit code."""
    environment = dict(os.environ, PATH=str(VENV / "bin") + os.pathsep + os.environ.get("PATH", ""))
    environment.pop("PYTHONHOME", None)
    environment.update(extra)
    return subprocess.call([str(each) for each in command], cwd=str(ROOT), env=environment)


def stop(message, remedy):
    """End with what is wrong and what to do about it."""
    sys.stderr.write(message + "\nWhat to do: " + remedy + "\n")
    sys.exit(2)


def _use_a_new_enough_python():
    if sys.version_info >= OLDEST:
        return
    for name in NEWER:
        found = shutil.which(name)
        if found:
            os.execv(found, [found, *sys.argv])
    stop(
        "This is Python {}.{}; Abaxial needs 3.11 or newer.".format(*sys.version_info[:2]),
        "install a newer one (Debian 12, Ubuntu 24.04 and later carry it: apt install python3) and run this again.",
    )


def _environment():
    if PYTHON.exists() and _stands_here():
        return
    if sys.prefix != sys.base_prefix and Path(sys.prefix) == VENV:
        stop("The environment .venv has lost its pip.", "leave it (deactivate), remove .venv, and run this again.")
    _venv_module()
    shutil.rmtree(str(VENV), ignore_errors=True)
    _step("environment", [sys.executable, "-m", "venv", str(VENV)])


def _stands_here():
    """Whether .venv works, and was made where it is: its programs hold its path, so a moved one must be made anew."""
    made = (VENV / "pyvenv.cfg").read_text()
    moved = "command = " in made and not any(line.endswith(str(VENV)) for line in made.splitlines())
    return not moved and subprocess.call([str(PYTHON), "-c", "import pip"], stderr=subprocess.DEVNULL) == 0


def _venv_module():
    """Debian and Ubuntu keep venv's seed packages apart from Python."""
    if subprocess.call([sys.executable, "-c", "import ensurepip, venv"], stderr=subprocess.DEVNULL) == 0:
        return
    package = "python{}.{}-venv".format(*sys.version_info[:2])
    if not shutil.which("apt-get") or os.geteuid() != 0:
        stop("Python's venv module is missing.", "run  sudo apt install " + package + "  and then this again.")
    quiet = dict(os.environ, DEBIAN_FRONTEND="noninteractive")
    _step("apt update", ["apt-get", "-qq", "update"], environment=quiet)
    _step(package, ["apt-get", "-qq", "-y", "install", "--no-install-recommends", package], environment=quiet)


def _uv(*rest):
    return [str(VENV / "bin" / "uv"), "pip", "install", "-q", "--python", str(PYTHON), *rest]


def _hash(path):
    if not path.exists():
        stop(f"{path} is missing.", "clone the repository again, or make it with scripts/lock.")
    return hashlib.sha256(path.read_bytes()).hexdigest()


def _once(name, digest, command, covered_by=None):
    """Take a step unless its stamp says it was taken for the same content, or for one that holds it."""
    stamp = VENV / ".ready" / name
    if stamp.exists() and stamp.read_text() in (digest, covered_by):
        return
    _step(name, command)
    stamp.parent.mkdir(exist_ok=True)
    stamp.write_text(digest)


def _step(name, command, environment=None):
    begun = time.monotonic()
    sys.stderr.write("Setting up: " + name + " … ")
    sys.stderr.flush()
    settings = dict(environment or os.environ, UV_PYTHON_DOWNLOADS="never")
    for for_pip, for_uv in SAME_FOR_UV.items():
        if for_pip in settings:
            settings.setdefault(for_uv, settings[for_pip])
    done = subprocess.run(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, env=settings, check=False)
    if done.returncode:
        sys.stderr.write("failed\n" + done.stdout.decode("utf-8", "replace")[-4000:] + "\n")
        stop(
            "This step did not work: " + " ".join(command),
            "see the lines above; is the network there? Then run this again.",
        )
    sys.stderr.write(f"{time.monotonic() - begun:.0f} s\n")
