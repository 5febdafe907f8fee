"""A change that waits for the server is heard though another page was asked for meanwhile.

Streamlit keeps one request waiting while a page runs. Asked for another page, the browser sends only what stays in
view, and the request that waited is replaced: what was changed last, under "saves itself", would be saved by nobody.
"""

from __future__ import annotations

from dataclasses import replace

from streamlit.proto.WidgetStates_pb2 import WidgetStates
from streamlit.runtime.scriptrunner_utils.script_requests import RerunData, ScriptRequests, ScriptRequestType

_request_rerun = ScriptRequests.request_rerun


def keep_what_waits() -> None:
    """Have every session's requests keep what waits; called once, before the first session."""
    ScriptRequests.request_rerun = _with_what_waits  # type: ignore[method-assign]  # there is no other way in


def _with_what_waits(self: ScriptRequests, new_data: RerunData) -> bool:
    with self._lock:
        waiting = self._rerun_data if self._state is ScriptRequestType.RERUN else None
    # On one page the browser sends everything each time.
    if waiting is not None and waiting.page_script_hash != new_data.page_script_hash:
        new_data = replace(new_data, widget_states=_both(waiting.widget_states, new_data.widget_states))
    return _request_rerun(self, new_data)


def _both(waiting: WidgetStates | None, new: WidgetStates | None) -> WidgetStates:
    states = {state.id: state for each in (waiting, new) if each is not None for state in each.widgets}
    return WidgetStates(widgets=states.values())
