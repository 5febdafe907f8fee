"""Pages of the app run without a browser: opened, pressed, read."""

from __future__ import annotations

import html
import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any
from urllib.parse import parse_qsl

from streamlit.testing.v1 import AppTest

from matcher.service import client
from matcher.service.desk import Desk
from tests.ui.sent_cookies import COOKIES
from ui.cookies import LINK_COOKIE

APP = Path(__file__).parents[2] / "ui" / "app.py"


def visit(desk: Desk, token: str) -> AppTest:
    """Run the householder's page as a browser sees it that has opened a private link: by its id and a cookie."""
    opened = client.opened_link(desk, token)
    named = opened.id if opened else "0" * 32
    COOKIES[LINK_COOKIE + named] = token
    return page("client", visit=named)


def page(name: str = "", **query: str) -> AppTest:
    """Run one page of the app with a query in its address."""
    test = AppTest.from_file(str(APP), default_timeout=60)
    for key, value in query.items():
        test.query_params[key] = value
    if name:
        # The first run would be that of the page without a name; switching needs none of it.
        test.switch_page(f"pages/{name}.py")
    test.run()
    assert not test.exception, [one.message for one in test.exception]
    return test


def press(test: AppTest, label: str) -> AppTest:
    """Press the first button of that label."""
    next(one for one in test.button if one.label == label).click().run()
    assert not test.exception, [one.message for one in test.exception]
    return test


def text_of(test: AppTest) -> str:
    """Return everything a page says."""
    parts = [element.value for element in (*test.title, *test.header, *test.subheader, *test.markdown, *test.caption)]
    parts += [str(element.proto.label) for element in (*test.get("page_link"), *test.get("expander"))]
    parts += [str(element.proto.body) for element in test.get("html")]
    return "\n".join(str(part) for part in parts)


def shows(test: AppTest) -> dict[str, object]:
    """Return what the picture on the wall is made of: the query of its address."""
    found = re.findall(r'href="/repainted/[0-9a-f]+[?]([^"]+)"', text_of(test))
    asked = parse_qsl(html.unescape(found[0])) if found else []
    roles, codes = ([value for key, value in asked if key == name] for name in ("role", "code"))
    return {"paints": dict(zip(roles, codes, strict=True)), "guess": [v for key, v in asked if key == "guess"]}


def widget(widgets: Sequence[Any], label: str) -> Any:
    """Return the one that asks for this."""
    return next(one for one in widgets if one.label == label)
