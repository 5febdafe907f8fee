"""A desk in a folder of its own, with the sample kitchen on it, as on a first start."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
import streamlit as st
from streamlit import config
from streamlit.components.v2 import manifest_scanner

from matcher.colorimetry import illuminants
from matcher.service import desk as service_desk
from matcher.service.access import local_user
from matcher.service.desk import Desk, list_rooms
from tests.first_start import copy_of, look_once
from tests.made_once import made_once
from tests.ui.browser import chromium as chromium
from tests.ui.givens_server import Server, serve_givens
from tests.ui.sent_cookies import COOKIES
from ui.desk import the_desk


@pytest.fixture(scope="session")
def first_started(tmp_path_factory: pytest.TempPathFactory, furnished_once: Path) -> Path:
    """A folder as it is after the first start and a look at the sample kitchen, for copies."""
    return made_once(tmp_path_factory, "first", lambda folder: look_once(copy_of(furnished_once, folder)))


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory, first_started: Path) -> Iterator[Server]:
    """The app served from a folder of its own, one for each file of tests."""
    folder = tmp_path_factory.mktemp("served") / "data"
    copy_of(first_started, folder)
    with serve_givens(folder) as server:
        yield server


@pytest.fixture(scope="session", autouse=True)
def tables_loaded() -> None:
    """Colour tables are loaded before a thread in the background could: what they warn of on import is filtered, but
    filters are the whole process's, and every test of the main thread puts them back meanwhile.
    """
    illuminants.names()


@pytest.fixture(scope="session", autouse=True)
def components_sought_once() -> Iterator[None]:
    """Streamlit looks through all that is installed for components whenever a page runs without a browser, and finds
    the same.
    """
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(manifest_scanner, "scan_component_manifests", cache(manifest_scanner.scan_component_manifests))
        yield


@pytest.fixture(scope="session", autouse=True)
def no_garbage_sought_after_each_run() -> None:
    """As in the app (ui/server.py)."""
    config.set_option("runner.postScriptGC", False)


@pytest.fixture(autouse=True)
def own_main_module() -> Iterator[None]:
    """A page run by Streamlit takes the place of the main module, and processes started later would run it again."""
    main = sys.modules["__main__"]
    yield
    sys.modules["__main__"] = main


@pytest.fixture(autouse=True)
def browser_cookies(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Pages run without a browser are sent the cookies that the test put into ``COOKIES``."""
    COOKIES.clear()
    monkeypatch.setattr(type(st.context), "cookies", property(lambda context: COOKIES))
    yield
    COOKIES.clear()


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, first_started: Path) -> Iterator[Desk]:
    """The desk that pages see."""
    copy_of(first_started, tmp_path / "data")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("GIVENS_FOLDER", str(tmp_path / "data"))
    for cached in (the_desk, service_desk.the_desk):
        cached.cache_clear()
    yield the_desk()
    for cached in (the_desk, service_desk.the_desk):
        cached.cache_clear()


@pytest.fixture
def sample_room(desk: Desk) -> str:
    """The id of the sample kitchen."""
    (room,) = list_rooms(desk, local_user(desk))
    return room.id
