"""Page 5: which sample boards to paint, how, and where and when to look at them."""

from __future__ import annotations

from typing import Any

from matcher.handover import words
from matcher.handover.contents import Contents, Json, Sample, Site
from matcher.handover.light_page import side_word
from matcher.handover.naming import CODE, NAME, roles_listed, shortened, surface_word
from matcher.report.ground import grey_for
from matcher.report.trade_words import listed

# Assumption: between the tropics (23.4 degrees) the sun is on both sides within a year, so a side tells nothing.
_TROPIC_DEG = 23.4
_MOST_PLACES = 5  # rows of the table; assumption
_ON_THE_FLOOR = ("floor", "carpet", "rug")
_FIRST_MATERIALS = ("tile", "stone", "brick", "timber", "laminate", "metal", "paint", "textile", "other")


def boards_page(contents: Contents) -> dict[str, Any] | None:
    """Return the data of the page; None where no board is asked for."""
    if not contents.samples:
        return None
    boards = [_board(contents, sample) for sample in contents.samples]
    return {
        "kind": "boards",
        "ground": grey_for([board["hex"] for board in boards]),
        "title": words.BOARDS_TITLE,
        "lede": words.BOARDS_LEDE,
        "which_title": words.WHICH,
        "boards": boards,
        "how_title": words.HOW,
        "how": [
            {"title": title, "text": text, "alt": alt}
            for (title, text), alt in zip(words.HOW_STEPS, words.HOW_ALTS, strict=True)
        ],
        "where_title": words.WHERE,
        "where_lede": " ".join([words.WHERE_LEDE, sun_sentence(contents.site)]).strip(),
        "place_title": words.PLACE,
        "places": places(contents.stays),
        "hours": list(words.HOURS),
        "box_alt": words.TICK_ALT,
        "after": words.AFTER,
    }


def sample_reason(contents: Contents, sample: Sample) -> str:
    """Return why a paint gets a board."""
    roles = roles_listed(
        sorted({role for role, paint in contents.roles.items() if paint["code"] == sample.code} or {sample.role})
    )
    other = shortened(name_of(contents, sample.other), NAME) if sample.other else ""
    if sample.kind == "tied":
        template = words.SAMPLE_TIED if sample.differs else words.SAMPLE_TIED_PLAIN
        difference = listed(sample.differs) if sample.differs else ""
        return template.format(other=other, roles=roles_listed([sample.role]), difference=difference)
    if sample.kind == "doubtful":
        return words.SAMPLE_DOUBTFUL.format(roles=roles)
    if sample.kind == "beside":
        return words.SAMPLE_BESIDE.format(roles=roles, other=other)
    return words.SAMPLE_CHOSEN.format(roles=roles)


def sun_sentence(site: Site) -> str:
    """Return when the sun is on the main window and when to look; "" where that is not known."""
    if site.facing is None:
        return ""
    side = site.facing
    if side not in ("E", "W"):
        if site.latitude is None or abs(site.latitude) < _TROPIC_DEG:
            return ""
        sunny = "S" if site.latitude > 0 else "N"
        if side == sunny:
            side = "sunny"
        elif len(side) == 1 or side[0] != sunny:
            side = "sunless"
        else:
            side = "morning" if side[1] == "E" else "evening"
    return words.SUN[side].format(side=side_word(site.facing))


def places(stays: tuple[Json, ...]) -> list[str]:
    """Return where a board is to stand: against what is seen beside it most, at the window, low above the floor."""
    floors = [surface for surface in stays if _is_floor(surface)]
    upright = sorted(
        (surface for surface in stays if not _is_floor(surface)),
        key=lambda surface: _FIRST_MATERIALS.index(surface["material"]),
    )
    found = [words.PLACES["against"].format(surface=surface_word(surface["name"])) for surface in upright]
    found = found[: _MOST_PLACES - 2]
    found.append(words.PLACES["window"])
    found += [words.PLACES["floor"].format(surface=surface_word(surface["name"])) for surface in floors[:1]]
    return [*found, words.PLACES["darkest"]][:_MOST_PLACES]


def name_of(contents: Contents, code: str) -> str:
    """Return the name of a paint that is shown."""
    return contents.names[code]


def _board(contents: Contents, sample: Sample) -> dict[str, Any]:
    name = shortened(name_of(contents, sample.code), NAME)
    return {
        "name": name,
        "code": shortened(sample.code, CODE),
        "hex": contents.swatch(sample.code),
        "why": sample_reason(contents, sample),
        "alt": words.BOARD_ALT.format(name=name),
    }


def _is_floor(surface: Json) -> bool:
    return any(word in surface["name"].casefold() for word in _ON_THE_FLOOR)
