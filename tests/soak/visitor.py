"""A browser's part of the conversation with the app, without a browser: cookies, pages by the socket, files sent.

The socket speaks Streamlit's own messages; the app's addresses are asked as a browser asks them.
"""

from __future__ import annotations

import re
import urllib.error
import urllib.parse
import urllib.request
from typing import Any

from streamlit.proto.BackMsg_pb2 import BackMsg
from streamlit.proto.ForwardMsg_pb2 import ForwardMsg
from websockets.sync.client import ClientConnection, connect

_PATIENCE_S = 120


class Visitor:
    """Somebody with cookies of their own at ``address``."""

    def __init__(self, address: str) -> None:
        self.address = address
        self.cookies: dict[str, str] = {}
        self._socket: ClientConnection | None = None

    def ask(self, path: str, data: bytes | None = None, **headers: str) -> tuple[int, bytes, Any]:
        """Return status, body and headers of an answer; redirects are not followed, cookies are kept."""

        class Stay(urllib.request.HTTPRedirectHandler):
            def redirect_request(self, *args: object, **more: object) -> None:
                return None

        sent = {"Origin": self.address, "Cookie": self._cookie(), **headers}
        request = urllib.request.Request(self.address + path, data, sent)
        try:
            with urllib.request.build_opener(Stay).open(request, timeout=_PATIENCE_S) as answer:
                self._keep(answer.headers)
                return answer.status, answer.read(), answer.headers
        except urllib.error.HTTPError as error:
            with error:
                self._keep(error.headers)
                return error.code, error.read(), error.headers

    def sign_in(self, name: str, passphrase: str) -> None:
        """Sign in as a consultant."""
        form = urllib.parse.urlencode({"name": name, "passphrase": passphrase}).encode()
        status, body, _ = self.ask("/sign-in", form)
        assert status == 303, body

    def open_link(self, token: str) -> str:
        """Open a private link and return what it is called from then on."""
        status, body, headers = self.ask(f"/client?link={token}")
        assert status == 303, body
        return str(headers["Location"]).rpartition("=")[2]

    def send(self, path: str, data: bytes, name: str) -> tuple[int, bytes]:
        """Send a file."""
        status, body, _ = self.ask(path, data, **{"X-File-Name": urllib.parse.quote(name)})
        return status, body

    def page(self, name: str, query: str = "") -> str:
        """Run a page by the socket, which stays open, and return all the text in what it draws."""
        if self._socket is None:
            self._socket = connect(
                f"ws{self.address.removeprefix('http')}/_stcore/stream",
                additional_headers={"Cookie": self._cookie()},
                origin=self.address,  # type: ignore[arg-type]
                subprotocols=["streamlit"],  # type: ignore[list-item]
                max_size=None,
                open_timeout=_PATIENCE_S,
            )
        message = BackMsg()
        message.rerun_script.page_name = name
        message.rerun_script.query_string = query
        self._socket.send(message.SerializeToString())
        seen = []
        while True:
            said = ForwardMsg()
            data = self._socket.recv(timeout=_PATIENCE_S)
            assert isinstance(data, bytes)
            said.ParseFromString(data)
            seen.append(data)
            if said.WhichOneof("type") == "script_finished":
                return " ".join(re.findall(r"[\w .,:'-]{3,}", b" ".join(seen).decode("utf-8", errors="replace")))

    def leave(self) -> None:
        """Close the socket."""
        if self._socket is not None:
            self._socket.close()
            self._socket = None

    def _cookie(self) -> str:
        return "; ".join(f"{name}={value}" for name, value in self.cookies.items())

    def _keep(self, headers: Any) -> None:
        for cookie in headers.get_all("Set-Cookie") or ():
            name, _, value = cookie.partition(";")[0].partition("=")
            self.cookies[name] = value
