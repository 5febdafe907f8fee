"""The desks of matcher's store, on both databases."""

from tests.store.backends import desk, other, postgresql, settings, user

__all__ = ["desk", "other", "postgresql", "settings", "user"]
