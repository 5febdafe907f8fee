"""A browser's part of the conversation with the app, without a browser: cookies, pages by the socket, files sent.

The socket speaks Streamlit's own messages; the app's addresses are asked as a browser asks them.
"""

from __future__ import annotations

import json
import re
import urllib.error
import urllib.parse
import urllib.request
from contextlib import ExitStack
from typing import Any

from streamlit.proto.BackMsg_pb2 import BackMsg
from streamlit.proto.ForwardMsg_pb2 import ForwardMsg
from streamlit.proto.WidgetStates_pb2 import WidgetState
from websockets.sync.client import ClientConnection, connect

_PATIENCE_S = 120
_SENT_AGAIN = 4
_FOR_ANOTHER = ForwardMsg.FINISHED_EARLY_FOR_RERUN


class Visitor:
    """Somebody with cookies of their own at ``address``."""

    def __init__(self, address: str) -> None:
        self.address = address
        self.cookies: dict[str, str] = {}
        self._socket: ClientConnection | None = None
        self._open = ExitStack()
        self._session: list[str] = []  # the id of the session before, where there was one
        self._here = ("", "")
        self._elements: dict[str, str] = {}  # by label, and the marking tool by its kind, the id
        self._typed: dict[str, WidgetState] = {}
        self.tool: dict[str, Any] | None = None  # what the marking tool was given

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
        self._here, self._typed, self._elements, self.tool = (name, query), {}, {}, None
        return self.run()

    def change(self, label: str, text: str, pressed: str = "") -> str:
        """Type into the field of that label, and leave it, or press a button; return the text of the page then."""
        self._type(label, string_value=text)
        return self.run(pressed)

    def change_as_it_dies(self, label: str, text: str) -> str:
        """Type into the field of that label, and leave it, as its server dies; return the page's text at another."""
        self.drop()
        self._type(label, string_value=text)
        self._session = ["another-server"]
        return self.run()

    def outline(self) -> int:
        """Draw one more outline with the marking tool; return how many there are then by the server's word."""
        assert self.tool is not None
        number = len(self.tool["marks"]) + 1
        left = 10 + 20 * (number % 30)
        corners = [[left, 100], [left + 15, 100], [left + 15, 140], [left, 140]]
        drawn = {
            "id": f"s{number}",
            "kind": "surface",
            "name": f"part {number}",
            "material": "tile",
            "polygon": corners,
        }
        event = {
            "serial": self.tool["heard"]["marks"] + 1,
            "base_revision": self.tool["revision"],
            "marks": [*self.tool["marks"], drawn],
        }
        for serial in range(event["serial"], event["serial"] + _SENT_AGAIN):
            # As ui/marking/script/marks.js does until it is heard.
            self._type("marking tool", json_value=json.dumps({"marks": {**event, "serial": serial}}))
            self.run()
            if self.tool["heard"]["marks"] >= serial:
                break
        return len(self.tool["marks"])

    def _type(self, label: str, **value: Any) -> None:
        assert label in self._elements, f"no {label!r} among {sorted(self._elements)}"
        self._typed[label] = WidgetState(id=self._elements[label], **value)

    def run(self, pressed: str = "") -> str:
        """Run the page that one is at, with what was typed, as a browser does whenever it is connected again."""
        if self._socket is None:
            opening = connect(
                f"ws{self.address.removeprefix('http')}/_stcore/stream",
                additional_headers={"Cookie": self._cookie()},
                origin=self.address,  # type: ignore[arg-type]
                subprotocols=["streamlit", "none", *self._session],  # type: ignore[list-item]
                max_size=None,
                open_timeout=_PATIENCE_S,
            )
            self._socket = self._open.enter_context(opening)
        message = BackMsg()
        message.rerun_script.page_name, message.rerun_script.query_string = self._here
        message.rerun_script.widget_states.widgets.extend(self._typed.values())
        if pressed:
            message.rerun_script.widget_states.widgets.append(
                WidgetState(id=self._elements[pressed], trigger_value=True)
            )
        self._socket.send(message.SerializeToString())
        seen = []
        while True:
            said = ForwardMsg()
            data = self._socket.recv(timeout=_PATIENCE_S)
            assert isinstance(data, bytes)
            said.ParseFromString(data)
            seen.append(data)
            self._note(said)
            # A run that ends for the next one is no answer yet.
            if said.WhichOneof("type") == "script_finished" and said.script_finished != _FOR_ANOTHER:
                return " ".join(re.findall(r"[\w .,:'-]{3,}", b" ".join(seen).decode("utf-8", errors="replace")))

    def _note(self, said: ForwardMsg) -> None:
        """Remember the session, the fields and buttons of the page, and what the marking tool was given."""
        if said.WhichOneof("type") == "new_session":
            self._session = [said.new_session.initialize.session_id]
        element = said.delta.new_element
        kind = element.WhichOneof("type") if said.WhichOneof("type") == "delta" else None
        if kind in ("text_input", "text_area", "button"):
            self._elements[getattr(element, kind).label] = getattr(element, kind).id
        elif kind == "bidi_component":
            given = element.bidi_component.mixed.json or element.bidi_component.json
            found = json.loads(given) if given else None
            if isinstance(found, dict) and "heard" in found:
                self.tool, self._elements["marking tool"] = found, element.bidi_component.id

    def leave(self) -> None:
        """Close the socket, and the page with it."""
        self._session = []
        self.drop()

    def drop(self) -> None:
        """Close the socket; the page is still open."""
        if self._socket is not None:
            self._open.close()
            self._socket = None

    def _cookie(self) -> str:
        return "; ".join(f"{name}={value}" for name, value in self.cookies.items())

    def _keep(self, headers: Any) -> None:
        for cookie in headers.get_all("Set-Cookie") or ():
            name, _, value = cookie.partition(";")[0].partition("=")
            self.cookies[name] = value
