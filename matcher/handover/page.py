"""The client's document as a page for a browser: one self-contained HTML file, the workshop at its end or left out.

It says what the PDF says, in the same order (:mod:`matcher.handover.client_pages`); only a page has no end, so that
nothing that stays is left out for want of room.
"""

from __future__ import annotations

import base64
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.handover import words
from matcher.handover.bands import Band
from matcher.handover.client_pages import client_pages
from matcher.handover.contents import Contents, Json, PictureFile
from matcher.handover.naming import TITLE, shortened
from matcher.handover.room_page import picture_files
from matcher.handover.sheet import day_in_words
from matcher.report.cautions import INVENTED_NOTE
from matcher.report.unbroken import unbroken

if TYPE_CHECKING:
    from jinja2 import Environment

_TEMPLATES = Path(__file__).with_name("templates")
# What a section of the client's part is called in the list at the top, where that is not its title.
_FIRST = {"room": words.ROOM_LINK, "scheme": words.SCHEME_TITLE}


def render_page(contents: Contents, workshop: Json | None = None) -> str:
    """Return the HTML of what the client is told, and of the ``workshop`` (:func:`matcher.handover.workshop.workshop`)
    after it, where there is one.
    """
    environment = _environment()
    pages = client_pages(contents, most_staying=None)
    return environment.get_template("page.html.j2").render(
        css=_css("page.css"),
        title=f"{shortened(contents.result['room']['name'], TITLE)}: {words.REPORT.lower()}",
        head=_head(contents),
        invented=INVENTED_NOTE if contents.invented else "",
        foot=[*contents.letterhead.contact, words.INVENTED_FOOT if contents.invented else words.FOOT],
        pages=pages,
        links=[{"id": page["kind"], "title": _FIRST.get(page["kind"], page["title"])} for page in pages],
        files={name: data_uri(picture.data) for name, picture in picture_files(contents.pictures).items()},
        appendix="" if workshop is None else _appendix(workshop, contents.pictures.as_it_is),
        appendix_title=words.APPENDIX,
        appendix_css="" if workshop is None else _css("workshop.css"),
    )


def _appendix(workshop: Json, as_it_is: PictureFile | None) -> object:
    from markupsafe import Markup

    shown = _with_shared_picture(workshop, as_it_is)
    template = _environment().get_template("workshop.html.j2")
    return Markup(template.render(title=words.APPENDIX, lede_first=words.APPENDIX_LEDE, **shown))


def laid(*parts: tuple[Band, float]) -> list[dict[str, Any]]:
    """Return bands side by side, each as wide as its share, as ``x`` (0..100) from which each colour reaches to the far
    corner: covered by the next, so that no ground shows between two.
    """
    found, x = [], 0.0
    whole = sum(share * colour["share"] for band, share in parts for colour in band)
    for band, share in parts:
        for colour in band:
            found.append({"x": round(x, 3), "hex": colour["hex"]})
            x += 100 * share * colour["share"] / whole
    return found


def _head(contents: Contents) -> dict[str, Any]:
    letterhead = contents.letterhead
    return {
        "name": letterhead.name,
        "mark": "" if letterhead.mark is None else data_uri(letterhead.mark.data),
        "mark_alt": words.MARK_ALT.format(name=letterhead.name or words.REPORT),
        "kind": words.REPORT,
        "day": "" if letterhead.day is None else day_in_words(letterhead.day, contents.site.country),
    }


def data_uri(data: bytes) -> str:
    """Return a JPEG or PNG file as the address of itself."""
    kind = "png" if data.startswith(b"\x89PNG") else "jpeg"
    return f"data:image/{kind};base64,{base64.b64encode(data).decode('ascii')}"


def _with_shared_picture(workshop: Json, as_it_is: PictureFile | None) -> dict[str, Any]:
    """Return the workshop with ``shared``, the size of the client's picture, in the picture that is the same file: it
    stands in the page once.
    """
    if as_it_is is None:
        return dict(workshop)
    uri = data_uri(as_it_is.data)

    def shared(picture: Mapping[str, Any] | None) -> Mapping[str, Any] | None:
        same = picture is not None and picture["data_uri"] == uri
        return {**picture, "shared": {"width": as_it_is.width}} if picture is not None and same else picture

    others: Sequence[Mapping[str, Any]] = workshop["other_pictures"]
    return {**workshop, "main_picture": shared(workshop["main_picture"]), "other_pictures": [*map(shared, others)]}


@cache
def _environment() -> Environment:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined
    from markupsafe import Markup

    from matcher.handover.template_bytecode import TemplateBytecode

    environment = Environment(
        loader=FileSystemLoader(_TEMPLATES),
        bytecode_cache=TemplateBytecode(_TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        optimized=False,
    )
    environment.filters["unbroken"] = lambda text: Markup(unbroken(text))
    environment.globals["laid"] = laid
    return environment


@cache
def _css(name: str) -> object:
    from markupsafe import Markup

    return Markup((_TEMPLATES / name).read_text(encoding="utf-8"))
