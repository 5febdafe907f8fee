"""Fixtures of the browser tests."""

from tests.ui.browser import chromium as chromium
