"""Names of photos: safe on every disk, saying what the content is, unique in a room."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from matcher.room.photo_name import SUFFIX_OF_KIND, free_name, plain_name, safe_name

suffixes = st.sampled_from(sorted(set(SUFFIX_OF_KIND.values())))
names = (
    st.text(max_size=30)
    | st.text(st.sampled_from("xé"), min_size=110, max_size=130)
    | st.text(st.sampled_from('/\\.:*?"<>| conaux1\0\u202e\u0301e'), max_size=12)
)


@pytest.mark.parametrize(
    ("sent", "kept"),
    [
        ("tile.JPG", "tile.JPG"),
        ("tile.jpeg", "tile.jpeg"),
        ("/etc/passwd", "passwd.jpg"),
        ("..\\..\\tile.jpg", "tile.jpg"),
        ("tile.png", "tile.jpg"),
        ("my  kitchen\t(2).jpg", "my kitchen (2).jpg"),
        ("k\u0131tchen \u53a8\u623f.jpg", "k\u0131tchen \u53a8\u623f.jpg"),
        ("cafe\u0301.jpg", "caf\u00e9.jpg"),
        ("gpj.\u202eexe.jpg", "gpj.exe.jpg"),
        (".jpg", "jpg.jpg"),
        ("...", "photo.jpg"),
        ("COM1.jpg", "photo-COM1.jpg"),
        ("nul.tar.jpg", "photo-nul.tar.jpg"),
        ("x" * 300 + ".jpg", "x" * 120 + ".jpg"),
    ],
)
def test_names_as_they_are_sent(sent: str, kept: str) -> None:
    """Reserved names and characters: Microsoft, "Naming Files, Paths, and Namespaces", from memory."""
    assert safe_name(sent, ".jpg") == kept


@given(sent=names, suffix=suffixes)
def test_any_name_becomes_a_plain_one(sent: str, suffix: str) -> None:
    name = safe_name(sent, suffix)
    assert plain_name(name) == name
    assert safe_name(name, suffix) == name
    assert name.isprintable()
    assert not set(name) & set('/\\<>:"|?*')
    assert name.strip(" .") == name
    assert len(name.encode("utf-8")) <= 255 - len("-1000")


@given(name=names, others=st.lists(names, max_size=5))
def test_a_free_name_is_none_of_the_others(name: str, others: list[str]) -> None:
    taken: list[str] = []
    for sent in [name, name, *others, *others]:
        found = free_name(safe_name(sent, ".jpg"), taken)
        assert found.casefold() not in {other.casefold() for other in taken}
        assert plain_name(found) == found
        taken.append(found)
