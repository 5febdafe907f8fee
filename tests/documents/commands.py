"""What the documents tell to run and the tests of the documents do not run themselves: who does, or why nobody does."""

from __future__ import annotations

_NETWORK = "needs the network and minutes; what runs all checks runs it"
_MACHINE = "changes the machine"
# A test is named as file::function and has to exist.
ELSEWHERE = {
    "python3 -m venv .venv": _NETWORK,
    ".venv/bin/pip install -q .": _NETWORK,
    ".venv/bin/pip install -q -e '.[dev]'": _NETWORK,
    ".venv/bin/python -m tests": "runs this test among all others",
    ".venv/bin/givens demo": "tests/cli/test_demo.py::test_demo_writes_a_page_that_says_it_is_invented",
    ".venv/bin/givens serve": "tests/ui/givens_server.py::serve_givens",
    "pip install": "needs the network",
    "pip download --no-deps": "needs the network, for files that are no part of the project",
    "pip install 'givens[postgresql]'": "needs the network; the extra is looked for in pyproject.toml",
    "pip install -e '.[mutation]' && mutmut run --max-children 1 'matcher.ranking.light.*'": "takes minutes",
    "mutmut results": "tells of a run",
    "mutmut show NAME": "tells of a run",
    # An installation on machines of its own: what its programs do there is run by tests/ui/test_several_servers.py.
    "python3 -m venv /opt/givens && /opt/givens/bin/pip install 'givens[postgresql,s3]'": _NETWORK,
    "givens deck update NEW --scheduler tcp://10.0.0.20:8786": (
        "tests/service/test_edition.py::test_a_cluster_says_what_one_process_says"
    ),
    "useradd --system givens": _MACHINE,
    "install -d -o givens -m 700 /var/lib/givens": _MACHINE,
    "systemctl stop givens": _MACHINE,
    "systemctl start givens": _MACHINE,
    "pip install pip-audit && pip-audit --strict --desc": "needs the network",
}

_MINUTES, _FILES = "takes minutes", "reads files that are no part of the project"
# Modules that are run by hand: why no test runs them whole.
BY_HAND = {
    "tests.benchmarks.app": _MINUTES,
    "tests.benchmarks.camera_limit": _MINUTES,
    "tests.benchmarks.camera_prior": _FILES,
    "tests.benchmarks.chart": _MINUTES,
    "tests.benchmarks.chips": _MINUTES,
    "tests.benchmarks.curve_family": _FILES,
    "tests.benchmarks.edition": _MINUTES,
    "tests.benchmarks.handover": _MINUTES,
    "tests.benchmarks.large_deck": _MINUTES,
    "tests.benchmarks.measurement": _MINUTES,
    "tests.benchmarks.next_photo": _MINUTES,
    "tests.benchmarks.no_card": _MINUTES,
    "tests.benchmarks.recovery": _MINUTES,
    "tests.benchmarks.reliability": _MINUTES,
    "tests.benchmarks.repainting": _MINUTES,
    "tests.benchmarks.schemes": _MINUTES,
    "tests.benchmarks.second_colours": _MINUTES,
    "tests.benchmarks.speed": _MINUTES,
    "tests.benchmarks.undertones": _MINUTES,
    "tests.fuzz.photos": "tests/photo/test_bombs.py::test_changed_files_are_read_or_refused",
    "tests.fuzz.readers": "tests/fuzz/test_readers.py::test_wild_texts_are_read_or_refused_in_words",
    "tests.soak.crowd": _MINUTES,
    "tests.soak.heavy": _MINUTES,
    "tests.soak.two_servers": (
        "tests/ui/test_several_servers.py::test_nothing_that_was_told_to_be_kept_is_lost_with_a_server"
    ),
    "tests.soak.kills": "tests/ui/test_safe_to_run.py::test_nothing_told_to_be_kept_is_lost_by_kills",
}
