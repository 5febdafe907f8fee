"""One paint examined in words, with the colours that stand beside them: for the page, the report and the picture."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from matcher.colorimetry.spaces import lab_to_hex, labs_to_hex
from matcher.description.body_word import is_neutral, stands_alone
from matcher.description.examined import STARK_WHITE, Examined
from matcher.description.lean_word import lean_word
from matcher.harmony.undertone import undertone
from matcher.ranking.meeting import FIGHTS, Meeting, called, telling
from matcher.report import paint_sentences as said
from matcher.report.ground import GREYS, ground_of
from matcher.report.numbers import filled, shown
from matcher.report.trade_words import listed, sentence_case

# dE00 from the true grey from where a difference shows without a search: twice what half of observers see side by side
# (matcher/description/comparison.py). Assumption.
_SHOWS_DE00 = 1.6
# A paint this near stark white is as white as white comes; a white within the second shows its lean beside it. dE00,
# assumptions.
_STARK_DE00 = 1.5
_BRIGHT_LRV = 80.0
_SUREST = 0.99  # what a few hundred draws can say at most

Json = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Words:
    """What a paint's sentences are filled with: ``called`` "a mid grey", ``strength`` of its lean as LEAN_STRENGTHS has
    it, ``key`` of the lean's own sentence.
    """

    called: str
    strength: str
    key: str
    fields: Mapping[str, str]


def paint_view(
    found: Examined, meetings: Sequence[Meeting] = (), *, code: str = "", name: str = "", beside: str = ""
) -> Json:
    """Return what is shown of a paint: ``headline``, ``lede``, ``pairs``, ``strip``, ``means``, ``advice`` and
    ``details``.

    ``pairs`` and ``strip`` hold hex colours with their captions; ``strip`` has no ``hexes`` where nothing is turned up.
    ``meetings`` are those with what stays, if anything is known of it; the one that tells most is the third pair, whose
    caption is ``beside`` where that is not the surface's name.
    """
    met, words = telling(meetings), _words(found)
    ground = ground_of(found.colour.lrv)
    return {
        "code": code,
        "name": name,
        "hex": found.colour.hex,
        "lrv": found.colour.lrv,
        "ground": ground,
        "ground_hex": GREYS[ground],
        "headline": f"{sentence_case(_headline(found, words))}.",
        "lede": _lede(found, words, met),
        "pairs": [
            _beside_white(found, words),
            _beside_grey(found, words),
            *(_beside(found, words, one, beside) for one in met[:1]),
        ],
        "strip": _strip(found, words),
        "means": _means(found, words, met),
        "advice": _advice(met),
        "details": _details(found),
    }


def _words(found: Examined) -> Words:
    lean, body = found.lean, found.body
    called_ = f"{'an' if body[0] in 'aeiou' else 'a'} {body}"
    if not stands_alone(body):
        called_ = said.DEPTHS[found.depth].format(body=body)
    strength = next(word for limit, word in said.LEAN_STRENGTHS if found.colour.undertone.visibility < limit)
    key = f"{lean.kind}, two" if lean.kind == "likely" and lean.other else lean.kind
    fields = {
        "called": called_,
        "body": body,
        "word": f"{lean.word} or {lean.other}" if lean.other else lean.word,
        "stays": "black" if body == "near-black" else "white" if "white" in body else body,
        "strength": strength,
    }
    return Words(called_, strength, key, fields)


def _headline(found: Examined, words: Words) -> str:
    lean = found.lean
    fields = {**words.fields, "word": lean.word, "other": lean.other}
    if is_neutral(found.body):
        return said.NEUTRAL_HEADLINES[words.key].format(**fields)
    if lean.kind == "sure" and lean.word not in (found.body, ""):
        return said.COLOUR_HEADLINE.format(**fields)
    return words.called


def _lede(found: Examined, words: Words, met: Sequence[Meeting]) -> str:
    kind = found.lean.kind
    if not is_neutral(found.body):
        return said.LEDES["colour"]
    if kind in ("neutral", "unsure"):
        return said.LEDES[kind]
    lede = said.LEDES[words.strength].format(**words.fields)
    if met and met[0].kind == "push apart":
        form = said.LEDE_BESIDE if words.strength == "barely" else said.LEDE_AGAINST
        lede += form.format(surface=met[0].surface)
    return lede


def _pair(kind: str, found: str, other: str, label: str, sentence: tuple[str, str], fields: Mapping[str, str]) -> Json:
    bold, text = (part.format(**fields) for part in sentence)
    return {"kind": kind, "hexes": [found, other], "label": label, "bold": sentence_case(bold), "text": text}


def _beside_white(found: Examined, words: Words) -> Json:
    """Return the paint beside stark white: what that shows is the lightness, or of a white the lean."""
    from matcher.colorimetry.difference import delta_e_2000

    key = "deep"
    if found.colour.lrv >= _BRIGHT_LRV:
        apart = float(delta_e_2000(found.colour.lab, STARK_WHITE))
        by_lean = {"sure": "white", "between": "white", "neutral": "plain white"}
        key = "stark" if apart <= _STARK_DE00 else by_lean.get(found.lean.kind, "faint white")
    white = lab_to_hex(STARK_WHITE)
    return _pair(
        "white", found.colour.hex, white, said.STARK_WHITE_CALLED, said.BESIDE_WHITE[key], words.fields
    )  # fmt: skip


def _beside_grey(found: Examined, words: Words) -> Json:
    kind, apart = found.lean.kind, found.grey_de00
    if not is_neutral(found.body):
        key = "plain"
    elif kind in ("sure", "between"):
        key = "shows" if apart >= _SHOWS_DE00 else "just"
    elif kind == "likely":
        key = "likely"
    else:
        key = "none" if kind == "neutral" and apart < _SHOWS_DE00 else "unsure"
    grey = lab_to_hex(found.true_grey)
    return _pair("grey", found.colour.hex, grey, said.TRUE_GREY_CALLED, said.BESIDE_GREY[key], words.fields)


def _beside(found: Examined, words: Words, met: Meeting, label: str) -> Json:
    lean = undertone(met.part.lab)
    word = lean_word(lean.family, lean.hue_deg, lean.chroma) if called(met.part) not in ("", "neutral") else ""
    named = bool(word and words.fields["word"])
    key = "kin, calms" if met.calms else "push apart, plain" if met.kind == "push apart" and not named else met.kind
    bold, text = said.MEETS["kin, plain" if met.calms and not named else key]
    if met.soft_edge:
        text = f"{text} {said.SOFT_EDGE}"
    fields = {**words.fields, "surface": met.surface, "lean": word}
    pair = _pair("surface", found.colour.hex, met.part.hex, label or sentence_case(met.surface), (bold, text), fields)
    return {**pair, "surface": met.surface}


def _strip(found: Examined, words: Words) -> Json:
    strip, kind = found.strip, found.lean.kind
    if not len(strip.steps):
        return {"hexes": [], "said": said.NO_STRIP[kind if strip.end == "no lean" else strip.end]}
    turned = said.STRIP_SAID
    if strip.lightness_step:
        turned = said.STRIP_SAID_DARKER if strip.lightness_step < 0 else said.STRIP_SAID_LIGHTER
    return {
        "hexes": labs_to_hex(strip.steps),
        "from": said.STRIP_FROM,
        "said": turned,
        "to": said.STRIP_TO.format(**words.fields),
    }


def _means(found: Examined, words: Words, met: Sequence[Meeting]) -> list[Json]:
    reach, kind = found.reach, found.lean.kind
    returns = next(share for limit, share in said.RETURNS if found.colour.lrv < limit)
    key = found.greyness.word if kind == "neutral" or found.greyness.word != "plain grey" else "plain grey, leaning"
    greyness = said.GREYNESS[key]
    if "white" in found.body:
        greyness = said.CLEANNESS_OF_WHITE.get(key, greyness)
    lean = said.LEANS[words.key].format(
        Word=sentence_case(found.lean.word), **{**words.fields, "word": found.lean.word, "other": found.lean.other}
    )
    why = said.LEANS_WHY[kind if kind in ("neutral", "unsure") else words.strength]
    rows = [
        ("depth", f"{sentence_case(_depth(found))}.", said.RETURNED.format(share=returns)),
        ("reach", said.GOES[reach.goes], " ".join(said.GOES_WHY[one] for one in reach.why)),
        ("grey", *greyness),
        ("lean", lean, why),
    ]
    if met:
        first, *others = _with_stays(met)
        rows.append(("stays", first, " ".join(others)))
    return [{"term": said.EXAMINED_TERMS[key], "bold": bold, "text": text} for key, bold, text in rows]


def _advice(met: Sequence[Meeting]) -> str:
    """Return what to do with it in this room; nothing where nothing is known of what stays."""
    if not met:
        return ""
    first = met[0]
    key = "fights" if first.kind in FIGHTS else "unsure" if all(m.kind == "unsure" for m in met) else "quiet"
    return said.EXAMINED_ADVICE[key].format(surface=first.surface)


def _depth(found: Examined) -> str:
    return "near black" if found.body == "near-black" else found.depth


def _with_stays(met: Sequence[Meeting]) -> list[str]:
    """Return a sentence for each kind of meeting, in the order of what tells most."""
    kinds = ["fights" if one.kind in FIGHTS else one.kind for one in met]
    return [
        said.WITH_STAYS[kind].format(
            surfaces=listed(f"the {one.surface}" for one, its in zip(met, kinds, strict=True) if its == kind)
        )
        for kind in dict.fromkeys(kinds)
    ]


def _details(found: Examined) -> list[Json]:
    colour, tint = found.colour, found.colour.undertone
    lab = ", ".join(shown(part, ".1f") for part in colour.lab.tolist())
    rgb = " ".join(str(int(colour.hex[place : place + 2], 16)) for place in (1, 3, 5))
    screen = said.ON_SCREEN if found.on_screen else said.OFF_SCREEN
    numbers = {
        "asks": found.reach.asks,
        "visibility": tint.visibility,
        "certainty": min(found.lean.certainty, _SUREST),
        "seen": found.strip.seen,
    }
    basis = said.EXAMINED_BASIS if len(found.strip.steps) else said.EXAMINED_BASIS_PLAIN
    rows = {
        "lrv": shown(colour.lrv, ".1f"),
        "munsell": found.munsell,
        "designation": colour.designation,
        "lab": lab,
        "srgb": rgb,
        "hex": colour.hex,
        "screen": filled(screen, {"de00": found.screen_de00}),
        "basis": filled(basis, numbers),
    }
    return [{"term": said.EXAMINED_DETAILS[key], "text": text} for key, text in rows.items()]
