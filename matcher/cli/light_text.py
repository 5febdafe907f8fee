"""A room's light as text for a terminal, with patches of colour where that shows any."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from matcher.report.light_entry import drawn_hexes
from matcher.report.light_words import (
    assumptions,
    called,
    clock,
    colour_sentences,
    kind_words,
    lamp_words,
    room_sentences,
)
from matcher.report.sentences import LIGHT_BASIS, LIGHT_DRAWN
from matcher.report.trade_words import sentence_case, undertone_phrase
from matcher.report.wording import entry_undertone

Json = Mapping[str, Any]
# Hours that a terminal lists: when a room is lived in. The JSON has all.
_SHOWN = (6.0, 22.0)


def room_light(light: Json, patch: Callable[[str], str]) -> str:
    """Return the day of a room, hour by hour, and what its colours make of it."""
    return "\n".join(_lines(light, patch))


def _lines(light: Json, patch: Callable[[str], str]) -> Iterator[str]:
    sky = "grey sky" if light["sky"] == "overcast" else "clear sky"
    looks = f"window to {light['facing']}" if light["facing"] else "window unknown"
    yield f"{light['date']}, latitude {light['latitude']:g}, {looks}, {sky}; hours are local solar time"
    yield from (f"  {sentence}" for sentence in assumptions(light))
    yield ""
    shown = [hour for hour in light["hours"] if _SHOWN[0] <= hour["hour"] <= _SHOWN[1]]
    yield "   Hour  Sun (height, bearing)  Light                   Kelvin         Level"
    for hour in shown:
        sun, (low, high) = hour["sun"], hour["light_k_range"]
        place = f"{sun['altitude_deg']:>4.0f}°, {sun['azimuth_deg']:>3.0f}°"
        yield (
            f"  {clock(hour['hour']):>5}  {place:<21}  {kind_words(hour['kind']):<22}  {f'{low} to {high}':<14} "
            f"{hour['level']:>6.0%}"
        )
    for number, colour in enumerate(light["colours"]):
        code = f" ({colour['code']})" if "code" in colour and colour["name"] else ""
        yield ""
        yield sentence_case(called(colour)) + code
        strip = _strip(light, number, shown, patch)
        if strip:
            yield f"  {strip}"
        yield from (f"  {sentence}" for sentence in colour_sentences(light, colour))
        for at in _moments(light, colour):
            yield f"    {at}"
    sentences = room_sentences(light)
    if sentences:
        yield ""
        yield from sentences
    yield ""
    yield LIGHT_BASIS
    if light["colours"] and patch("#808080"):
        yield LIGHT_DRAWN


def _strip(light: Json, number: int, shown: list[Json], patch: Callable[[str], str]) -> str:
    """Return the colours of the hours side by side; empty where the terminal shows none."""
    levels = {hour["hour"]: hour["level"] for hour in shown}
    seen = [each for each in light["colours"][number]["hours"] if each["hour"] in levels]
    hexes = drawn_hexes([each["lab"] for each in seen], [levels[each["hour"]] for each in seen])
    return "".join(patch(each).rstrip(" ") + "" for each in hexes)


def _moments(light: Json, colour: Json) -> Iterator[str]:
    """Return what a colour leans to at noon and by each lamp, as seen and beside a white card there."""
    noon = next(seen for seen in colour["hours"] if seen["hour"] == 12)
    yield _moment("at noon", noon)
    for lamp, seen in zip(light["lamps"], colour["lamps"], strict=True):
        yield _moment(lamp_words(lamp), seen)


def _moment(when: str, seen: Json) -> str:
    lab = ", ".join(f"{part:.1f}".replace("-", "\u2212") for part in seen["lab"])
    return f"{when:<28} CIELAB {lab:<20} {undertone_phrase(entry_undertone(seen))} beside a white card"
