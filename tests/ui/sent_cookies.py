"""What the browser of a test of single pages sends along; a fixture in conftest.py clears it."""

COOKIES: dict[str, str] = {}
