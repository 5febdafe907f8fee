"""A photo's entry in the room document as loose marks, one polygon each, the way a hand draws them, and back.

A mark is ``{"id", "kind", "name", "polygon"}`` and, by kind: surface ``material``; card ``reference`` and, where it has
them, ``reflectance``, ``reflectances``, ``paint``, ``on``, and ``set``, which cards that lie side by side have in
common; area and hole ``role``. Polygons are full-size pixels of the upright photo. Sets are seen anew each time: no
room file names them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from matcher.room.outline import outline_fault
from matcher.service.choices import CARDS

Json = dict[str, Any]
Mark = dict[str, Any]
_OF_SOME_CARDS = ("reflectance", "reflectances", "paint", "on")
# Cards of one even grey, as sets are made of.
_PLAIN_CARDS = ("white card", "grey card", "black card")


def marks_of(entry: Mapping[str, Any]) -> list[Mark]:
    """Return the marks of one photo of the document, numbered in order."""
    return [{"id": f"m{number}", **mark} for number, mark in enumerate(_with_sets(list(_unpacked(entry))), start=1)]


def _with_sets(marks: Sequence[Mark]) -> Iterator[Mark]:
    from matcher.photo.card_sets import lying_together

    plain = [i for i, mark in enumerate(marks) if mark.get("reference") in _PLAIN_CARDS and len(mark["polygon"]) > 2]
    sets: dict[int, str] = {}
    for on in {marks[i].get("on") for i in plain}:
        same = [i for i in plain if marks[i].get("on") == on]
        numbers = lying_together([marks[i]["polygon"] for i in same])
        # By their first card, so that sets on different surfaces have different names.
        first: dict[int, int] = {}
        for i, number in zip(same, numbers, strict=True):
            if number is not None:
                sets[i] = f"set{first.setdefault(number, i)}"
    for i, mark in enumerate(marks):
        yield {**mark, "set": sets[i]} if i in sets else mark


def _unpacked(entry: Mapping[str, Any]) -> Iterator[Mark]:
    for reference in entry.get("references", ()):
        yield {
            "kind": "card",
            "name": reference["kind"],
            "reference": reference["kind"],
            "polygon": reference["outline"],
            **{key: reference[key] for key in _OF_SOME_CARDS if reference.get(key)},
        }
    for surface in entry.get("surfaces", ()):
        for polygon in surface.get("outlines") or [surface["outline"]]:
            yield {
                "kind": "surface",
                "name": surface["name"],
                "material": surface["material"],
                "polygon": polygon,
            }
    for area in entry.get("areas", ()):
        for kind, polygons in (("area", area["outlines"]), ("hole", area.get("holes", ()))):
            for polygon in polygons:
                yield {"kind": kind, "name": area["role"], "role": area["role"], "polygon": polygon}


def proposed_cards(verdict: Mapping[str, Any], marks: Sequence[Mapping[str, Any]] = ()) -> list[Mark]:
    """Return marks for the likely cards that were found in a photo by themselves: proposals to be looked at.

    Cards that lie together are all proposed, as one ``set``, and said to lie on the surface that its place has among
    ``marks``. Not proposed are those of which one is marked already, as a card or a chip of paint, and a single one
    where ``marks`` have cards.
    """
    from matcher.photo.card_proposal import LIKELY
    from matcher.surfaces.lying_on import surface_under

    usual = {card.kind: card.reflectance for card in CARDS}
    found = [card for card in verdict.get("cards", ()) if card["kind"] in usual and card["confidence"] >= LIKELY]
    found.sort(key=lambda card: card["kind"] != "chart 24")
    marked = [mark for mark in marks if mark["kind"] == "card"]
    has_card = any(mark.get("reference") != "paint chip" for mark in marked)
    surfaces: dict[str, list[Any]] = {}
    for mark in marks:
        if mark["kind"] == "surface":
            surfaces.setdefault(mark["name"], []).append(mark["polygon"])
    proposed = []
    for number, card in enumerate(found, start=1):
        together = [each["outline"] for each in found if each is card or _of_one_set(each, card)]
        if any(_in_one_place(each, other["polygon"]) for each in together for other in marked):
            continue
        if has_card and len(together) == 1:
            continue
        on = surface_under(together, surfaces)
        proposed.append(
            {
                "id": f"card{number}",
                "kind": "card",
                "name": card["kind"],
                "reference": card["kind"],
                "polygon": card["outline"],
                **({} if usual[card["kind"]] is None else {"reflectance": usual[card["kind"]]}),
                **({} if on is None else {"on": on}),
                "set": f"found{card['group']}" if len(together) > 1 else f"found-{number}",
            }
        )
    return proposed


def _of_one_set(one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    return "group" in one and one["group"] == other.get("group")


def _in_one_place(one: Sequence[Any], other: Sequence[Any]) -> bool:
    """Tell whether the middle of either outline lies within the other's box."""
    return _boxed(one, _middle(other)) or _boxed(other, _middle(one))


def _middle(outline: Sequence[Any]) -> tuple[float, float]:
    return sum(x for x, _ in outline) / len(outline), sum(y for _, y in outline) / len(outline)


def _boxed(outline: Sequence[Any], point: tuple[float, float]) -> bool:
    xs, ys = zip(*outline, strict=True)
    return bool(min(xs) <= point[0] <= max(xs) and min(ys) <= point[1] <= max(ys))


def with_marks(document: Json, file: str, marks: Sequence[Mark], size: tuple[int, int]) -> tuple[Json, list[str]]:
    """Return the document with the photo ``file`` marked so, and what is wrong with marks that had to stay out.

    ``size`` is the photo's width and height in full-size pixels; points beyond it are brought to its edge.
    """
    sound, faults = [], []
    for mark in marks:
        polygon = _inside(mark["polygon"], size)
        fault = outline_fault([(x, y) for x, y in polygon])
        if fault:
            faults.append(f"{_called(mark)}: {fault}")
        else:
            sound.append({**mark, "polygon": polygon})
    photos = [
        {**_kept(entry), **_with_labs(_packed(sound), entry)} if entry["file"] == file else entry
        for entry in document.get("photos", ())
    ]
    return {**document, "photos": photos}, faults


def _kept(entry: Json) -> Json:
    return {key: value for key, value in entry.items() if key not in ("references", "surfaces", "areas")}


def _with_labs(packed: Json, before: Mapping[str, Any]) -> Json:
    """Return a photo's entry with the colours that its chips stated ``before``, which are no part of a mark."""
    labs = {each["paint"]: each["lab"] for each in before.get("references", ()) if each.get("paint") and "lab" in each}
    references = [
        {**each, "lab": labs[each["paint"]]} if each.get("paint") in labs else each for each in packed["references"]
    ]
    return {**packed, "references": references}


def _packed(marks: Sequence[Mark]) -> Json:
    references = [
        {"kind": m["reference"], "outline": m["polygon"], **{key: m[key] for key in _OF_SOME_CARDS if m.get(key)}}
        for m in marks
        if m["kind"] == "card"
    ]
    surfaces: dict[str, Json] = {}
    for mark in marks:
        if mark["kind"] == "surface":
            surface = surfaces.setdefault(mark["name"], {"name": mark["name"], "material": mark["material"]})
            surface.setdefault("outlines", []).append(mark["polygon"])
    areas: dict[str, Json] = {}
    for mark in marks:
        if mark["kind"] == "area":
            areas.setdefault(mark["role"], {"role": mark["role"], "outlines": [], "holes": []})["outlines"].append(
                mark["polygon"]
            )
    for mark in marks:
        # A hole without an area to be in means nothing.
        if mark["kind"] == "hole" and mark["role"] in areas:
            areas[mark["role"]]["holes"].append(mark["polygon"])
    return {"references": references, "surfaces": list(surfaces.values()), "areas": list(areas.values())}


def _inside(polygon: Sequence[Sequence[float]], size: tuple[int, int]) -> list[list[float]]:
    width, height = size
    return [
        [round(min(max(float(x), 0.0), float(width)), 1), round(min(max(float(y), 0.0), float(height)), 1)]
        for x, y in polygon
    ]


def _called(mark: Mark) -> str:
    return str(mark.get("name") or mark["kind"])
