"""A desk on SQLite and one on PostgreSQL: every test that asks for ``desk`` runs on both.

The server's programs are those on the path, or those inside the ``pgserver`` wheel; it listens on a socket in a folder
of its own and is stopped at the end.
"""

from __future__ import annotations

import importlib.util
import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from matcher.service.desk import Desk, open_desk
from matcher.settings import Settings
from matcher.store import people
from matcher.store.stored import User
from matcher.store.tables import Base

MUST_RUN = bool(os.environ.get("GIVENS_TEST_POSTGRES") or os.environ.get("CI"))
DATABASES = ("sqlite", "postgresql")

if TYPE_CHECKING:
    import pwd


def programs() -> Path | None:
    """Return the folder with initdb and pg_ctl."""
    found = shutil.which("pg_ctl")
    if found:
        return Path(found).resolve().parent
    wheel = importlib.util.find_spec("pgserver")
    inside = Path(wheel.origin).parent / "pginstall" / "bin" if wheel and wheel.origin else None
    return inside if inside and (inside / "pg_ctl").is_file() else None


def server_account() -> pwd.struct_passwd | None:
    """Return whom the server has to run as: it refuses root; None stands for ourselves."""
    import pwd  # Windows has none

    if os.geteuid() != 0:
        return None
    for name in ("postgres", "nobody"):
        try:
            return pwd.getpwnam(name)
        except KeyError:
            continue
    raise OSError("PostgreSQL refuses to run as root, and there is no other user to run it as")


def run(command: list[str], folder: Path, account: pwd.struct_passwd | None) -> None:
    """Run a program of the server quietly; raises OSError with what it said."""
    who = {} if account is None else {"user": account.pw_uid, "group": account.pw_gid, "extra_groups": []}
    with (folder / "said.txt").open("w+") as said:
        # To a file: a pipe would stay open in the server that pg_ctl leaves behind.
        done = subprocess.run(command, cwd=folder, stdout=said, stderr=said, check=False, timeout=60, **who)  # type: ignore[call-overload]
        said.seek(0)
        if done.returncode:
            raise OSError(f"{Path(command[0]).name} said: {said.read().strip()}")


@contextmanager
def postgresql_server() -> Iterator[Postgresql]:
    """Run a server of our own until the block ends; raises OSError where none can be started."""
    found = programs()
    if found is None:
        raise OSError("no PostgreSQL is installed here")
    folder = Path(tempfile.mkdtemp(prefix="givens-pg-"))
    server = Postgresql(folder, found)
    try:
        account = server_account()
        if account is not None:
            os.chown(folder, account.pw_uid, account.pw_gid)
        # Its socket is for everybody; what is below is not.
        folder.chmod(0o755)
        made = [str(found / "initdb"), "-D", str(folder / "data"), "-U", "givens", "-A", "trust", "-E", "UTF8"]
        run([*made, "--no-locale", "-N"], folder, account)
        server.start()
        yield server
    finally:
        if server.runs:
            server.stop()
        shutil.rmtree(folder, ignore_errors=True)


class Postgresql:
    """A server in ``folder``, by the ``programs`` there are; ``address`` is that of its database."""

    def __init__(self, folder: Path, programs: Path) -> None:
        self._folder, self._control = folder, [str(programs / "pg_ctl"), "-D", str(folder / "data")]
        self.address = f"postgresql://givens@/postgres?host={folder}"
        self.runs = False

    def start(self) -> None:
        """Start it, on a socket in its folder."""
        options = f"-k {self._folder} -c listen_addresses='' -c fsync=off"
        log = ["-l", str(self._folder / "log")]
        run([*self._control, *log, "-o", options, "start"], self._folder, server_account())
        self.runs = True

    def stop(self) -> None:
        """Stop it as a machine stops that loses its power."""
        run([*self._control, "-m", "immediate", "stop"], self._folder, server_account())
        self.runs = False


@pytest.fixture(scope="session")
def postgresql() -> Iterator[str]:
    """Start a server and give the address of its database."""
    with ExitStack() as stack:
        try:
            server = stack.enter_context(postgresql_server())
        except OSError as error:
            reason = f"no PostgreSQL server could be started: {error}"
            if MUST_RUN:
                pytest.fail(reason)
            pytest.skip(reason)
        yield server.address


def emptied(address: str) -> str:
    """Return the address of a database with nobody and nothing in it: without tables, or with all of them empty."""
    import psycopg

    with psycopg.connect(address, autocommit=True) as connection:
        found = connection.execute("SELECT tablename FROM pg_tables WHERE schemaname = 'public'").fetchall()
        if {name for (name,) in found} == set(Base.metadata.tables):
            # To make them takes ten times as long; those that others point to come last.
            names = [table.name for table in reversed(Base.metadata.sorted_tables)]
            connection.execute("; ".join(f"DELETE FROM {name}" for name in names))
        else:
            connection.execute("DROP SCHEMA public CASCADE")
            connection.execute("CREATE SCHEMA public")
    return address


@pytest.fixture(params=DATABASES)
def settings(request: pytest.FixtureRequest, tmp_path: Path) -> Settings:
    """Settings that keep everything in the test's own folder, or on the server."""
    url = emptied(request.getfixturevalue("postgresql")) if request.param == "postgresql" else None
    return Settings(folder=tmp_path / "data", database_url=url, upload_limit_mb=1, photos_per_room=4)


@pytest.fixture
def desk(settings: Settings) -> Iterator[Desk]:
    """An open desk, nobody there yet."""
    opened = open_desk(settings)
    yield opened
    opened.store.database.close()


@pytest.fixture
def user(desk: Desk) -> User:
    """A consultant who never signs in: the passphrase's hash is none."""
    return people.add_user(desk.store, "Consultant", "consultant", "")


@pytest.fixture
def other(desk: Desk) -> User:
    """Another consultant."""
    return people.add_user(desk.store, "Other", "other", "")
