"""Why a paint, in a client's words: beside one surface, and for a role as a whole."""

from __future__ import annotations

from typing import Any

from matcher.description.lean import SURE_FROM
from matcher.handover import words
from matcher.handover.contents import Json, main_role_of
from matcher.handover.naming import role_word, surface_word
from matcher.ranking.called import UNCALLED
from matcher.report.doubt import NINETY_PERCENT
from matcher.report.numbers import filled, printed
from matcher.report.trade_words import lowered, sentence_case
from matcher.report.wording import fact_in_words

_CLEAR_STEP = 25.0  # LRV points; from here a paint is much lighter (words.LIGHTNESS_STEPS)
_DARK = 20.0  # LRV below which a surface is called dark; assumption: a mid grey card has 18
_MOST_FOR_A_ROLE = 2  # reasons for a role in one line; every one against it is said


def beside_surface(paint: Json, surface: Json) -> tuple[str, str]:
    """Return the heading's word and the sentences of a paint of the scheme beside a surface that stays."""
    facts = [fact for fact in paint["facts"] if surface["name"] in _about(fact)]
    spoken = [(fact, _favouring(fact)) for fact in facts if fact["favours"]]
    good = [(fact, said) for fact, said in spoken if said is not None]
    against = [text for fact in facts if not fact["favours"] for text in _against(fact)]
    clashes = [clash for clash in paint.get("clashes", ()) if clash["surface"] == surface["name"]]
    if clashes and not against:
        against = [words.CLASHES[clashes[0]["kind"]].format(surface=surface_word(surface["name"]))]
    step = printed(paint["lrv"]) - printed(surface["lrv"])
    sentences = [_hedged(said[1], fact, surface) for fact, said in good[:1]]
    if not _says_lightness(facts):
        sentences.append(lightness_sentence(step, surface))
    sentences += [words.MIND + lowered(text) for text in against]
    if against:
        word = words.MIND_WORD
    elif good:
        word = good[0][1][0]
    else:
        word = words.CLEAR if abs(step) > _CLEAR_STEP else words.QUIET
    return word, " ".join(sentences)


def lightness_sentence(step: float, surface: Json) -> str:
    """Return what lightness does between a paint and a surface, ``step`` LRV points from it."""
    size = next(size for limit, size in words.LIGHTNESS_STEPS if abs(step) <= limit)
    if size != "as light":
        if abs(step) < NINETY_PERCENT * surface["lrv_sd"]:
            return words.LIGHTNESS_UNSURE
        size += " lighter" if step > 0 else " darker"
    forms = words.LIGHTNESS[size]
    form = next(forms[kind] for kind in (*_kinds(surface), "any") if kind in forms)
    return form.format(surface=surface_word(surface["name"]))


def _kinds(surface: Json) -> list[str]:
    """Return what a surface is, as the words tell it apart, the most telling first."""
    name = surface["name"].casefold()
    dark = ["dark, plural" if name.endswith("s") and not name.endswith("ss") else "dark"]
    floor = ["floor"] if any(word in name for word in ("floor", "carpet")) else []
    return [*floor, *(dark if surface["lrv"] < _DARK else []), surface["material"]]


def for_role(paint: Json, roles: Json, *, pinned: bool) -> str:
    """Return why a paint stands in its role, as sentences; ``roles`` the scheme's."""
    sentences: list[str] = [words.CHOSEN_BEFORE] if pinned else []
    beside = [fact for fact in paint["facts"] if fact["kind"] == "neighbour-fits" and fact["role"] in roles]
    beside.sort(key=lambda fact: fact["role"] != main_role_of(roles))
    sentences += [_beside_role(paint, fact["role"], roles[fact["role"]]) for fact in beside[:1]]
    good = [said for fact in paint["facts"] if fact["favours"] for said in _for_a_role(fact)]
    sentences += good[: _MOST_FOR_A_ROLE - len(beside[:1])]
    against = [text for fact in paint["facts"] if not fact["favours"] for text in _against(fact)]
    return " ".join([*sentences, *(words.MIND + lowered(text) for text in against)])


def against_sentence(fact: Json | None, clash: str, surface: str) -> str:
    """Return why a paint was turned down beside a surface."""
    said = [] if fact is None else _against(fact)
    return said[0] if said else words.CLASHES[clash].format(surface=surface_word(surface))


def _about(fact: Json) -> list[str]:
    return [str(fact["surface"])] if "surface" in fact else []


def _favouring(fact: Json) -> tuple[str, str] | None:
    """Return the heading's word and the sentence of a fact for a paint; None for one that a client is not told."""
    key, fields = fact_in_words(fact)
    if key not in words.FOR:
        return None
    word, template = words.FOR[key]
    return word, _filled(template, fact, fields)


def _for_a_role(fact: Json) -> list[str]:
    """Return the sentence of a fact for a paint where no surface stands beside it."""
    key, fields = fact_in_words(fact)
    if key not in words.FOR:
        return []
    return [_filled(words.FOR_A_ROLE.get(key, words.FOR[key][1]), fact, fields)]


def _against(fact: Json) -> list[str]:
    key, fields = fact_in_words(fact)
    return [_filled(words.AGAINST[key], fact, fields)] if key in words.AGAINST else []


def _filled(template: str, fact: Json, fields: dict[str, Any]) -> str:
    about = role_word(fact["role"]) if "role" in fact else surface_word(str(fact.get("surface", "")))
    return sentence_case(filled(template, {**fields, "surface": about}))


def _hedged(sentence: str, fact: Json, surface: Json) -> str:
    """Return a sentence that names the lean of a surface as likely, where that is not certain."""
    values = fact["values"]
    certainty = surface["colours"][0].get("undertone_certainty", 1.0)
    named = "surface_family" in values and values["surface_family"] != UNCALLED
    if not named or certainty >= SURE_FROM or values.get("part", "field") == "grout":
        return sentence
    return words.LIKELY.format(sentence=lowered(sentence))


def _says_lightness(facts: list[Json]) -> bool:
    return any(fact["kind"] in ("merges-with-given", "near-miss-white") for fact in facts)


def _beside_role(paint: Json, role: str, other: Json) -> str:
    if paint["code"] == other["code"]:
        return words.SAME_PAINT.format(surface=role_word(role))
    step = printed(paint["lrv"]) - printed(other["lrv"])
    template = next(row[1] for row in words.BESIDE_ROLE if abs(step) <= row[0])
    return template.format(surface=role_word(role), lighter="lighter" if step >= 0 else "darker")
