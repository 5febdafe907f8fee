"""What the structure of a file gets wrong before a decoder sees it."""

from __future__ import annotations


class FalseLengthError(ValueError):
    """A length or an offset leads out of the file, or into a ring."""
