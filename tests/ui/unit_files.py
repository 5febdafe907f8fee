"""The unit files that README.md gives: read, checked by systemd, and their programs run as they say.

There is no systemd that runs them in a test. What their lines of protection take away is taken away by other means
(util-linux: unshare, setpriv): a file system to read only but for the folders that a unit names, a /tmp of its own, no
capability, no new privileges. Only the user and the homes of others stay, as the interpreter of a test may lie in one.
"""

from __future__ import annotations

import configparser
import os
import re
import shlex
import shutil
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PROGRAMS = "/opt/givens/bin"


def units() -> dict[str, str]:
    """Return the unit files by name, as the text before each says it."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    names = re.findall(r"`/etc/systemd/system/(givens[a-z-]*\.service)`", text)
    blocks = re.findall(r"```ini\n(.*?)```", text, flags=re.DOTALL)
    assert len(names) == len(blocks)
    return dict(zip(names, blocks, strict=True))


def service(unit: str) -> Mapping[str, str]:
    """Return what stands under [Service]."""
    parser = configparser.ConfigParser(interpolation=None, delimiters=("=",))
    parser.optionxform = str  # type: ignore[assignment]  # names keep their capitals
    parser.read_string(unit)
    return parser["Service"]


def programs(folder: Path) -> Path:
    """Return a folder with the two programs as an installation has them, of this copy of the code."""
    folder.mkdir()
    for name, module in (("givens", "matcher.cli.app"), ("dask", "dask.cli")):
        function = "main" if name == "givens" else "run_cli"
        code = f"import sys; sys.path.insert(0, {str(ROOT)!r}); sys.argv[0] = {name!r}; from {module} import {function}"
        path = folder / name
        # Workers are started from it once more, and then it only has to be there.
        path.write_text(f"#!{sys.executable}\n{code}\nif __name__ == '__main__':\n    {function}()\n", encoding="utf-8")
        path.chmod(0o755)
    return folder


def need_to_confine() -> None:
    """Skip a test where nothing can be taken away from a program."""
    if (
        not (shutil.which("unshare") and shutil.which("setpriv"))
        or subprocess.run([*_APART, "true"], check=False, capture_output=True).returncode
    ):
        pytest.skip("unshare and setpriv of util-linux are needed here, and the right to use them")


# Root of a name space of its own, where it is not root of the machine.
_APART = ["unshare", "--mount", *(["--map-root-user"] if os.geteuid() else [])]
# Where nothing of this machine is to be seen, so that the folders of the units can be put there.
_EMPTIED = ("/var/lib", "/opt", "/srv")
_PROTECTED = {"NoNewPrivileges": "yes", "CapabilityBoundingSet": "", "ProtectSystem": "strict", "PrivateTmp": "yes"}


def _would_be_hidden() -> list[Path]:
    """Return what a program of a test needs of what lies in folders that are emptied."""
    needed = [path.resolve() for path in (ROOT, Path(sys.prefix), Path(sys.base_prefix))]
    hidden = [path for path in needed if any(path.is_relative_to(folder) for folder in (*_EMPTIED, "/tmp"))]
    return [path for path in dict.fromkeys(hidden) if not any(path.is_relative_to(it) for it in hidden if it != path)]


@contextmanager
def confined(
    unit: str, changes: Mapping[str, str], said: Path, *, read: Mapping[str, Path], write: Mapping[str, Path]
) -> Iterator[subprocess.Popen[bytes]]:
    """Run the program of a unit, with ``changes`` made in its lines, until the block ends; what it says is in ``said``.

    ``read`` and ``write`` are folders by what the program knows them as; it may change nothing but the latter.
    """
    for old, new in changes.items():
        assert old in unit, old
        unit = unit.replace(old, new)
    asked = service(unit)
    assert _PROTECTED.items() <= dict(asked).items()
    # The interpreter and this copy of the code are to be seen wherever they lie.
    shown = {handle: shlex.quote(str(path)) for handle, path in enumerate(_would_be_hidden(), start=3)}
    lines = [f"exec {handle}< {path}" for handle, path in shown.items()]
    lines += [f"mount -t tmpfs tmpfs {folder}" for folder in _EMPTIED]
    for inside, outside in {**read, **write}.items():
        lines += [f"mkdir -p {inside}", f"mount --bind {outside} {inside}"]
    lines += [f"mount -o remount,bind,ro {inside}" for inside in read]
    lines += ["mount -t tmpfs -o mode=1777 tmpfs /tmp"]
    for handle, path in shown.items():
        lines += [f"mkdir -p {path}", f"mount --no-canonicalize --bind /proc/self/fd/{handle} {path}"]
        lines += [f"mount -o remount,bind,ro {path}", f"exec {handle}<&-"]
    lines += [f"mount -o remount,ro {folder}" for folder in _EMPTIED]
    lines += ["mount -o remount,bind,ro /", f"cd {asked.get('WorkingDirectory', '/')}"]
    # Whatever else it is, it is no program that may write where it likes.
    lines += ["! touch /opt/mine /var/lib/mine /etc/mine 2>/dev/null"]
    lines += [f"exec setpriv --no-new-privs --bounding-set=-all --inh-caps=-all {asked['ExecStart']}"]
    # As systemd gives them: those of the unit, and hardly another one.
    given = dict(pair.split("=", 1) for pair in shlex.split(asked.get("Environment", "")))
    environment = {"PATH": "/usr/local/bin:/usr/bin:/bin:/usr/sbin:/sbin", "LANG": "C.UTF-8", **given}
    with said.open("wb") as log:
        running = subprocess.Popen(
            [*_APART, "sh", "-ec", "\n".join(lines)], env=environment, stdout=log, stderr=subprocess.STDOUT
        )
        try:
            yield running
        finally:
            running.terminate()
            running.wait()


def wait_for(address: str, running: subprocess.Popen[bytes], said: Path) -> str:
    """Return the page at an address of what is ``running`` once it answers."""
    deadline = time.monotonic() + 60
    while True:
        try:
            with urllib.request.urlopen(address, timeout=5) as answer:
                return str(answer.read().decode())
        except OSError:
            if running.poll() is not None or time.monotonic() > deadline:
                pytest.fail(f"it does not answer: {said.read_text(errors='replace')}")
            time.sleep(0.1)
