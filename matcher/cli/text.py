"""Results as plain text for a terminal."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path, PurePath
from typing import Any

from matcher.report.doubt import NINETY_PERCENT
from matcher.report.edition_words import seen_phrase
from matcher.report.numbers import plus_minus, shown
from matcher.report.reader import advice_view
from matcher.report.sentences import BESIDE_WHAT_STAYS, FOR_DIRECTION, IN_OTHER_DECK, LOOKALIKES, PARTNERS
from matcher.report.trade_words import instrument_phrase, sentence_case, undertone_phrase, warmth_phrase
from matcher.report.wording import (
    LEVEL_WORDS,
    check_sentence,
    difference_numbers,
    difference_phrase,
    entry_undertone,
    first_and_against,
    role_title,
)

Json = Mapping[str, Any]
_SAME_NAME = "same_name"  # beside the kinds of neighbours
_COMPARED = "nearest chip"  # the check that compares a surface with the chips lying on it
# What fits a terminal; result.json holds all. Assumption.
MOST_PAINTS, MOST_REASONS = 10, 3
MOST_EDITION = 20  # paints of a list that is long in a deck with many changes


def surfaces(result: Json) -> str:
    """Return the measured surfaces, one block each, then the warnings."""
    return "\n".join([*_surface_lines(result), *_warning_lines(result)])


def shortlists(result: Json, advice: Json, paths: Sequence[Path]) -> str:
    """Return surfaces, the scheme, the best of every role, warnings, and where the files are."""
    lines = _surface_lines(result)
    for role, paints in result["shortlists"].items():
        lines += ["", role_title(role), *(f"  {note}" for note in result.get("notes", {}).get(role, ()))]
        lines += [line for paint in paints[:MOST_PAINTS] for line in _paint_lines(paint)]
    scheme = result["scheme"]
    lines += ["", "Scheme"]
    lines += [f"  {role_title(role)}: {paint['code']} {paint['name']}" for role, paint in scheme["roles"].items()]
    for check in scheme["checks"]:
        lines.append(f"  {'holds' if check['passes'] else 'look again'}: {check_sentence(check)}")
    lines += [line for room in scheme.get("rooms", ()) for line in _room_lines(room)]
    lines += [*_advice_lines(advice), *_warning_lines(result), "", *(f"Written: {path}" for path in paths)]
    return "\n".join(lines)


def _room_lines(room: Json) -> list[str]:
    """Return a room seen from this one: its paints, and what holds through the doorway."""
    through = f", through the {room['through']}" if room["through"] else ""
    paints = (f"    {role_title(role)}: {paint['code']} {paint['name']}" for role, paint in room["roles"].items())
    checks = (
        f"    {'holds' if check['passes'] else 'look again'}: {check_sentence({**check, 'room': room['name']})}"
        for check in room["checks"]
    )
    return [f"  Seen from here{through}: {room['name']}", *paints, *checks]


def handed_over(paths: Sequence[Path], result: Json) -> str:
    """Return which boards to paint and where the files are."""
    boards = [f"  {sample['code']}: {sample['why']}" for sample in result["samples"]]
    return "\n".join([*(["Sample boards", *boards, ""] if boards else []), *(f"Written: {path}" for path in paths)])


def missing_letters(letters: Sequence[str]) -> str:
    """Return what a reader of the sheets has to know: letters that no font here has."""
    return f"givens: no font here has {' '.join(letters)}, so each is shown as a question mark."


def photo_check(result: Json) -> str:
    """Return the checks, worst last as found, and the cards proposed."""
    lines = [f"{result['file']}: {result['size'][0]} x {result['size'][1]} pixels"]
    lines += [f"  {LEVEL_WORDS[check['level']]}: {check['message']}" for check in result["checks"]]
    for number, card in enumerate(result["cards"], start=1):
        corners = ", ".join(f"[{x:.0f}, {y:.0f}]" for x, y in card["outline"])
        together = f" of set {card['group'] + 1}" if "group" in card else ""
        lines.append(
            f"  Card proposal {number}, {card['kind']}{together} ({card['confidence']:.0%}): outline = [{corners}]"
        )
    return "\n".join(lines)


def deck_check(result: Json) -> str:
    """Return that the deck is sound, and how large it is."""
    return f"{result['name']}: {result['size']} paints, no mistakes found"


def description(entry: Json, view: Json) -> str:
    """Return one colour broken down; ``view`` says what it means."""
    lab = ", ".join(shown(part, "g") for part in entry["lab"])
    warm = entry["warmth"]
    title = f"{entry['code']} {entry['name']}".strip() or entry["hex"]
    lines = [
        title,
        f"  {view['headline']} {view['lede']}",
        f"  LRV {entry['lrv']:.0f}, CIELAB {lab}, sRGB {entry['hex']}",
        f"  Undertone: {undertone_phrase(entry_undertone(entry))}; {warmth_phrase(warm)} ({shown(warm, '+.2f')})",
        f"  ISCC-NBS: {entry['designation']}; Munsell: {entry['munsell']}",
    ]
    lines += [f"  {row['term']}: {row['bold']} {row['text']}".rstrip() for row in view["means"]]
    for light, seen in entry.get("lights", {}).items():
        lab = ", ".join(shown(part, "g") for part in seen["lab"])
        lines.append(f"  Under {light}: CIELAB {lab}, {undertone_phrase(entry_undertone(seen))}")
    lines += [f"Written: {entry['file']}"] if "file" in entry else []
    return "\n".join(lines)


def descriptions(entries: Sequence[Json], *, longest_code: int = 0) -> str:
    """Return a line a paint; codes take as many letters as the longest has, here or in what else is listed."""
    code = max((10, longest_code, *(len(entry["code"]) for entry in entries)))
    leans = [undertone_phrase(entry_undertone(entry)) for entry in entries]
    return "\n".join(
        f"{entry['code']:<{code}} {entry['name']:<20} LRV {entry['lrv']:>3.0f}  {lean}"
        for entry, lean in zip(entries, leans, strict=True)
    )


def comparison(result: Json) -> str:
    """Return the colours, then what tells each pair apart."""
    lines = [descriptions(result["colours"])]
    codes = {colour["code"]: colour["code"] for colour in result["colours"]}
    lrvs = {colour["code"]: colour["lrv"] for colour in result["colours"]}
    lines += [
        f"{pair['a']} and {pair['b']}: {difference_phrase(pair, codes)} ({difference_numbers(pair, lrvs)})"
        for pair in result["pairs"]
    ]
    return "\n".join(lines)


def user_added(name: str) -> str:
    """Return that a consultant may sign in now."""
    return f"{name} can sign in now"


def backed_up(done: Json) -> str:
    """Return what a backup holds, and where it is."""
    return f"{_held(done)} of {done['folder']}, {done['size'] / 1e6:.1f} MB: {done['file']}"


def restored(done: Json) -> str:
    """Return what came back, and where it is."""
    return f"{_held(done)} are back, in {done['folder']}"


def _held(done: Json) -> str:
    return f"{done['rooms']} room{'s' * (done['rooms'] != 1)} and {done['photos']} photo{'s' * (done['photos'] != 1)}"


def near(found: Json, swatch: Callable[[str], str], drawn: Path | None = None) -> str:
    """Return what stands round a colour, kind by kind, a line each behind a ``swatch``; ``drawn`` is the map."""
    groups = [(LOOKALIKES[kind], paints) for kind, paints in found["kinds"].items()]
    if found["same_name"]:
        groups.append((LOOKALIKES[_SAME_NAME], found["same_name"]))
    for deck, inside in found["other_decks"].items():
        kinds = {**inside["kinds"], _SAME_NAME: inside["same_name"]}
        groups += [
            (IN_OTHER_DECK.format(kind=LOOKALIKES[kind], deck=deck), paints) for kind, paints in kinds.items() if paints
        ]
    groups.append((PARTNERS, found["partners"]))
    paints = [paint for _, group in groups for paint in group]
    code, name = (max((len(paint[key]) for paint in paints), default=0) for key in ("code", "name"))
    lines: list[str] = []
    for title, group in groups:
        lines += ["", title]
        lines += [
            f"  {swatch(paint['hex'])}{paint['code']:<{code}}  {paint['name']:<{name}}  LRV {paint['lrv']:>3.0f}  "
            f"{paint['says']}"
            for paint in group
        ] or [f"  {found['no_partner']}" if title == PARTNERS else "  none"]
    lines += _beside_lines(found)
    lines += ["", f"Written: {drawn}"] if drawn else []
    return "\n".join(lines[1:])


def _beside_lines(found: Json) -> list[str]:
    """Return what a room does to a colour, where one was named."""
    if not found["pushes"]:
        return []
    said = [f"  {push['says']} ({push['numbers']})" for push in found["pushes"] if push["claim"]]
    said = [*said, f"  {found['caution']}"] if said else [f"  {found['no_push']}"]
    return ["", BESIDE_WHAT_STAYS, *said, f"  {found['area']['says']} ({found['area']['source']})"]


def repainted(result: Json) -> str:
    """Return what was painted, what the picture does not show, and where it is."""
    paint, old = result["paint"], result["old_paint"]
    title = f"{paint['code']} {paint['name']}".strip() or paint["hex"]
    low, high = old["lrv_range"]
    was = f"LRV {old['lrv']:.0f}" if old["measured"] else f"an unmeasured LRV between {low:.0f} and {high:.0f}"
    return "\n".join(
        [
            f"{role_title(result['role'])}: {title}, LRV {paint['lrv']:.0f} in place of {was}",
            *(f"  {LEVEL_WORDS[check['level']]}: {check['message']}" for check in result["checks"]),
            f"Written: {result['file']}",
        ]
    )


def unmeasured_old_paint(result: Json) -> str:
    """Return what is said of a picture over an old paint that nothing measured."""
    messages = (check["message"] for check in result["checks"] if check["check"] == "old paint unmeasured")
    return f"{LEVEL_WORDS['warn']}: {next(messages)}"


def _paint_lines(paint: Json) -> list[str]:
    name = f"{paint['code']:<10} {paint['name']:<18}"
    return [
        f"  {paint['rank']:>2}  {name} LRV {paint['lrv']:>3.0f}",
        *([f"        {FOR_DIRECTION}"] if paint.get("added_for") else []),
        *(
            f"        {text if fact['favours'] else f'but {text}'}"
            for text, fact in first_and_against(paint["reasons"], paint["facts"], MOST_REASONS)
        ),
        *(f"        clash with the {clash['surface']}: {clash['message']}" for clash in paint["clashes"]),
    ]


def _surface_lines(result: Json) -> list[str]:
    lines = [result["room"]["name"]]
    for surface in result["surfaces"]:
        half_width = NINETY_PERCENT * surface["lrv_sd"]
        lines.append(
            f"  {surface['name']} ({surface['material']}): LRV {surface['lrv']:.0f} ± {plus_minus(half_width)}"
        )
        if "source" in surface:
            lines.append(f"    {instrument_phrase(surface['source'])}")
        lines += [
            f"    {100 * colour['share']:>3.0f} % {colour['part']:<6} {colour['hex']}  LRV {colour['lrv']:>3.0f}  "
            f"{colour['leans']}"
            for colour in surface["colours"]
        ]
    lines += [
        f"  {missing['name']}: not read in {PurePath(missing['photo']).name}. {sentence_case(missing['reason'])}"
        for missing in result.get("unread", ())
    ]
    lines += [
        f"  {sentence_case(check['message'])}."
        for photo in result["photos"]
        for check in photo["checks"]
        if check["check"] == _COMPARED
    ]
    return lines


def _advice_lines(advice: Json) -> list[str]:
    view = advice_view(advice)
    return ["", " ".join(part for part in (view["says"], view["why"]) if part)]


def _warning_lines(result: Json) -> list[str]:
    return ["", *(f"Note: {warning}" for warning in result["warnings"])] if result["warnings"] else []


def serving(started: Mapping[str, Any]) -> str:
    """Return where the browser app answers."""
    lines = [
        f"Givens answers at {started['address']} (stop it with Ctrl+C)",
        f"Rooms and photos are kept in {started['folder']}",
    ]
    if not started["guarded"]:
        lines.append("Nobody has to sign in on this machine. To set a passphrase: givens user add NAME")
    return "\n".join(lines)


def deck_update(result: Json) -> str:
    """Return what a new edition changes: in the deck, then room by room."""
    old, new = result["old"], result["edition"]
    lines = [f"{old['name']} ({old['size']} paints) to {new['name']} ({new['size']} paints)"]
    lines += [f"  {sentence_case(note)}." for note in result["notes"]]
    for title, entries, said in (
        (
            "Gone",
            result["gone"],
            lambda each: f"{each['code']}: nearest {each['nearest']}, {seen_phrase(each['de00'])}",
        ),
        ("New", result["new"], str),
        ("Moved", result["moved"], lambda each: f"{each['code']}: {seen_phrase(each['de00'])}"),
    ):
        lines += ["", f"{title}: {len(entries)}", *(f"  {said(each)}" for each in entries[:MOST_EDITION])]
        if len(entries) > MOST_EDITION:
            lines.append(f"  and {len(entries) - MOST_EDITION} more (--json lists all)")
    lines += ["", f"Rooms whose advice changes: {len(result['rooms'])} of {result['ranked']['in_all']}"]
    for room in result["rooms"]:
        lines.append(f"  {room['room']}")
        lines += [f"    {role_title(change['role'])}: {change['why']}" for change in room["changed"]]
    if result["unranked"]:
        lines += ["", "Not ranked"]
        lines += [f"  {room['room']}: {room['why']}" for room in result["unranked"]]
    return "\n".join(lines)
