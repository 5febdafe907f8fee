"""Codes with a hyphen stay on one line, all else may break, and nothing leaves unescaped."""

from __future__ import annotations

from html.parser import HTMLParser

import pytest

from matcher.report.unbroken import unbroken


class Reader(HTMLParser):
    """What the standard library's parser makes of it: all the text, and what stands in tags."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.text, self.tags = "", 0
        self.whole: list[str] = []
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert (tag, attrs) == ("span", [("class", "unbroken")])
        self.tags += 1
        self.whole.append("")

    def handle_endtag(self, tag: str) -> None:
        self.tags -= 1

    def handle_data(self, data: str) -> None:
        self.text += data
        if self.tags:
            self.whole[-1] += data


@pytest.mark.parametrize(
    ("text", "whole"),
    [
        ("Very close alternatives: demo-39, demo-82", ["demo-39,", "demo-82"]),
        ("Its yellow-green goes with the teal (hue 125° against 214°)", []),
        ('A-1"><script>x</script> & <b>', ['A-1"><script>x</script>']),
    ],
)
def test_codes_are_whole_and_the_text_stays(text: str, whole: list[str]) -> None:
    read = Reader(unbroken(text))
    assert (read.text, read.whole) == (text, whole)
