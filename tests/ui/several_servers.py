"""Two app servers on one database and one place for photos, behind nginx as README.md and DEVELOPERS.md write it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, contextmanager
from pathlib import Path

import psutil

from matcher.service import access
from matcher.service.desk import Desk, open_desk
from matcher.settings import Settings
from tests.ui.browser import free_port
from tests.ui.givens_server import Server, serve_givens
from tests.ui.nginx import NAME, certificate, nginx, replaced

ROOT = Path(__file__).parents[2]
PHRASE = "seven blue doors"


class Shop:
    """Two servers by the names "a" and "b", the ``address`` of the web server before them, and a ``plain`` one of it
    without TLS.

    Each has a folder of its own, as on a machine of its own; photos lie in another one unless an address is given.
    """

    def __init__(self, folder: Path, database_url: str, photo_address: str | None = None) -> None:
        self._folder, self._database_url = folder, database_url
        self.photo_folder = folder / "photos"
        self._photo_address = photo_address or f"file://{self.photo_folder}"
        self._ports = {name: free_port() for name in ("a", "b")}
        self._stacks: dict[str, ExitStack] = {}
        self.servers: dict[str, Server] = {}
        self.port = free_port()
        self.address = f"https://{NAME}:{self.port}"
        self._plain_port = free_port()
        self.plain = f"http://localhost:{self._plain_port}"

    def start(self, *names: str) -> None:
        """Start servers, once more where they ran before, side by side, and wait until they answer."""
        with ThreadPoolExecutor() as pool:
            list(pool.map(self._start, names))

    def _start(self, name: str) -> None:
        stack = ExitStack()
        server = serve_givens(
            self._folder / f"data-{name}",
            port=self._ports[name],
            database_url=self._database_url,
            photo_address=self._photo_address,
            called=name,
        )
        self.servers[name] = stack.enter_context(server)
        self._stacks[name] = stack

    def start_again(self) -> None:
        """Start the servers that do not run."""
        self.start(*(name for name in self._ports if name not in self.servers))

    def serving(self) -> str:
        """Return the name of the server that most connections go to."""
        counts = {name: _connections(server.process.pid) for name, server in self.servers.items()}
        return max(counts, key=lambda name: counts[name])

    def kill(self, name: str) -> None:
        """End a server as the loss of its machine does (SIGKILL), in the middle of whatever it does."""
        self.servers[name].process.kill()
        self.servers[name].process.wait()
        self.servers.pop(name)
        self._stacks.pop(name).close()

    def stop(self) -> None:
        """Stop the servers that run."""
        while self._stacks:
            self._stacks.popitem()[1].close()

    def desk(self) -> Desk:
        """Return a desk on the same store."""
        shared = {"database_url": self._database_url, "photo_address": self._photo_address}
        return open_desk(Settings(folder=self._folder / "beside", **shared))

    def site(self) -> str:
        """Return the configuration of the web server, the texts' but for ports and paths."""
        (whole,) = _nginx_blocks("DEVELOPERS.md")
        upstream, kept_together = _nginx_blocks("README.md")
        whole, count = re.subn(r"upstream givens \{.*?\n\}\n", lambda _: upstream, whole, flags=re.DOTALL)
        assert count == 1
        beside_it = "    location / {\n"
        changes = {
            beside_it: kept_together + beside_it,
            "listen 443 ssl": f"listen 127.0.0.1:{self.port} ssl; listen 127.0.0.1:{self._plain_port}",
            "10.0.0.11:8520": f"127.0.0.1:{self._ports['a']}",
            "10.0.0.12:8520": f"127.0.0.1:{self._ports['b']}",
            "/var/log/nginx/givens.log": str(self._folder / "asked.log"),
            **certificate(self._folder),
        }
        return replaced(whole, changes)


def _nginx_blocks(name: str) -> list[str]:
    return re.findall(r"```nginx\n(.*?)```", (ROOT / name).read_text(encoding="utf-8"), flags=re.DOTALL)


def _connections(pid: int) -> int:
    """Return how many connections a process holds open to whoever asked it something."""
    return sum(each.status == psutil.CONN_ESTABLISHED for each in psutil.Process(pid).net_connections(kind="tcp"))


@contextmanager
def shop(folder: Path, database_url: str, photo_address: str | None = None) -> Iterator[Shop]:
    """Run both servers and the web server until the block ends; "Ada" has an account, so that no sample is wanted."""
    settings = f'hosts = ["{NAME}"]\ntrusted_proxies = ["127.0.0.1"]\n'
    (folder / "givens.toml").write_text(settings, encoding="utf-8")
    opened = Shop(folder, database_url, photo_address)
    try:
        desk = opened.desk()
        access.add_user(desk, "Ada", PHRASE)
        desk.store.close()
        opened.start("a", "b")
        with nginx(folder, opened.site(), opened.port):
            yield opened
    finally:
        opened.stop()
