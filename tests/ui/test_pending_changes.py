"""A change on its way to a busy server when the next page is asked for; Streamlit's own queue of requests."""

from __future__ import annotations

import pytest
from streamlit.proto.WidgetStates_pb2 import WidgetState, WidgetStates
from streamlit.runtime.scriptrunner_utils.script_requests import RerunData, ScriptRequests

from ui.pending_changes import keep_what_waits


@pytest.fixture(autouse=True)
def kept(monkeypatch: pytest.MonkeyPatch) -> None:
    """As the server has it."""
    monkeypatch.setattr(ScriptRequests, "request_rerun", ScriptRequests.request_rerun)
    keep_what_waits()


def states(**values: str) -> WidgetStates:
    return WidgetStates(widgets=[WidgetState(id=name, string_value=value) for name, value in values.items()])


def heard(*requests: RerunData) -> tuple[str, dict[str, str]]:
    """The page and the values that a session gets once it can, of requests that came while a page ran."""
    queue = ScriptRequests()
    for request in requests:
        assert queue.request_rerun(request)
    got = queue.on_scriptrunner_yield()
    assert got is not None
    found = got.rerun_data.widget_states
    return got.rerun_data.page_script_hash, {state.id: state.string_value for state in (found.widgets if found else ())}


def test_a_change_is_heard_before_the_next_page_runs() -> None:
    changed = RerunData(page_script_hash="brief", widget_states=states(roles="ceiling", name="Hall"))
    onward = RerunData(page_script_hash="photos", widget_states=states(name="Front hall"))
    assert heard(changed, onward) == ("photos", {"roles": "ceiling", "name": "Front hall"})
    assert heard(changed, RerunData(page_script_hash="photos")) == ("photos", {"roles": "ceiling", "name": "Hall"})


def test_on_one_page_the_latest_word_stands() -> None:
    first = RerunData(page_script_hash="brief", widget_states=states(roles="ceiling"))
    then = RerunData(page_script_hash="brief", widget_states=states(name="Hall"))
    assert heard(first, then) == ("brief", {"name": "Hall"})
