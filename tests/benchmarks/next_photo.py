"""Does following the advice help more than a fixed order: ``python -m tests.benchmarks.next_photo [FOLDER ...]``.

Rooms with known truth (by default the sample rooms) are begun with a single grey card, once on each surface that has
one. Then cards are laid, photos taken and instruments read as the advice says, or in a fixed order, or at random; after
each step the room is measured anew and held against the truth:

- ``dE00`` of the main colours, each surface by the part it takes of what is seen;
- ``regret``: how many hundredths of fit (clashes counted as a scheme counts them) the paint chosen by these colours
  falls short of the best paint beside the true colours, over walls, trim, cabinets and accent as a scheme weighs them.

An action stands for what the pictures hold: a close-up of a surface with a card or three cards on it (a photo of its
own, or that part of the picture taken as one), or the true colours with an instrument's error.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from matcher.advice.advice import Advice
from matcher.advice.settle import what_would_settle
from matcher.colorimetry.difference import delta_e_2000
from matcher.paints.deck import Deck
from matcher.paints.reading import demo_deck
from matcher.ranking import weights
from matcher.ranking.question import ask
from matcher.ranking.score import score
from matcher.recall import Recall
from matcher.room.reading import room_of
from matcher.surfaces.combining import make_surface
from matcher.surfaces.measure import Memories, RoomMeasurement, survey_room
from matcher.surfaces.surface import Surface, SurfaceColour
from tests.benchmarks.truth import TruePhoto, TrueSurface, truth_of_room, truths_in

SAMPLES = Path(__file__).parents[2] / "sample_photos"
ROLES = ("walls", "trim", "cabinets", "accent")
STEPS = 3
_SHUFFLES = 6
_INSTRUMENT_SD = 0.5

Step = tuple[str, str]  # what is done, and on which surface
State = frozenset[Step]


@dataclass(frozen=True, slots=True, eq=False)
class Scene:
    """A room to measure in any state.

    ``whole`` is the picture of the room, as a table without references, and ``lying`` the cards that lie in it;
    ``close_ups`` a photo of each surface by itself with the ``references`` that lie on it; ``truth`` by surface.
    """

    name: str
    paths: Mapping[str, Path]
    whole: dict[str, Any]
    lying: Mapping[str, tuple[dict[str, Any], ...]]
    close_ups: Mapping[str, dict[str, Any]]
    references: Mapping[str, tuple[dict[str, Any], ...]]
    truth: Mapping[str, TrueSurface]

    def possible(self) -> Iterator[Step]:
        """Yield every step that the pictures can stand for, in the order of the room."""
        for kind, least in (("grey card", 1), ("three cards", 3)):
            for name in self.truth:
                if len(self.references.get(name, ())) >= least:
                    yield kind, name
        yield from (("instrument", name) for name in self.truth)

    def document(self, start: str, state: State) -> dict[str, Any]:
        """Return the room file after these steps; the whole picture has the grey card on ``start`` and no other."""
        photos = [dict(self.whole, references=_grey(self.lying[start]))]
        for name, references in self.references.items():
            if ("three cards", name) in state:
                photos.append(dict(self.close_ups[name], references=list(references)))
            elif ("grey card", name) in state:
                photos.append(dict(self.close_ups[name], references=_grey(references)))
        read = [name for kind, name in state if kind == "instrument"]
        return {
            "room": {"name": self.name},
            "photos": photos,
            "surfaces": [_instrument(self.truth[name]) for name in sorted(read)],
        }


def _grey(references: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
    return [reference for reference in references if reference["kind"] == "grey card"]


def _instrument(surface: TrueSurface) -> dict[str, Any]:
    noise = np.random.default_rng([len(surface.name), len(surface.colours)]).normal(0, _INSTRUMENT_SD, 3)
    seen = [colour for colour in surface.colours if colour.share > 0]
    total = sum(colour.share for colour in seen)
    colours = [
        {"share": c.share / total, "lab": (np.asarray(c.lab) + noise).clip([0, -150, -150], [100, 150, 150]).tolist()}
        for c in seen
    ]
    return {"name": surface.name, "material": surface.material, "colours": colours, "sd": _INSTRUMENT_SD}


def single_scene(truth: TruePhoto) -> Scene:
    """Return a room of one picture; the close-up of a surface is that part of it, taken as a photo of its own."""
    names = {surface.name: surface for surface in truth.surfaces}
    cards = {name: _cards(truth, name) for name in names if _cards(truth, name)}
    close_ups = {name: dict(_photo(truth, whole=False, only=name), file=f"near {name}") for name in cards}
    return Scene(
        name=truth.path.stem,
        paths={truth.path.name: truth.path, **{photo["file"]: truth.path for photo in close_ups.values()}},
        whole=_photo(truth, whole=True),
        lying=cards,
        close_ups=close_ups,
        references=cards,
        truth=names,
    )


def several_scene(name: str, photos: Sequence[TruePhoto]) -> Scene:
    """Return a room of one whole picture and a close-up, with its cards, of some surfaces."""
    whole, *others = sorted(photos, key=lambda photo: -len(photo.surfaces))
    shown = [surface.name for surface in whole.surfaces]
    best = {
        surface: max(others, key=lambda photo: len(_cards(photo, surface)))
        for surface in shown
        if any(_cards(photo, surface) for photo in others)
    }
    truth = truth_of_room(photos)
    return Scene(
        name=name,
        paths={photo.path.name: photo.path for photo in photos},
        whole=_photo(whole, whole=True),
        lying={surface: _cards(whole, surface) for surface in shown if _cards(whole, surface)},
        close_ups={surface: _photo(photo, whole=False, only=surface) for surface, photo in best.items()},
        references={surface: _cards(photo, surface) for surface, photo in best.items()},
        truth={surface: truth[surface] for surface in shown},
    )


def _cards(truth: TruePhoto, on: str) -> tuple[dict[str, Any], ...]:
    return tuple(
        {"kind": kind, "reflectance": reflectance, "outline": outline, "on": on}
        for kind, reflectance, outline, there in truth.cards
        if there == on
    )


def _photo(truth: TruePhoto, *, whole: bool, only: str | None = None) -> dict[str, Any]:
    surfaces = [s for s in truth.surfaces if only is None or s.name == only]
    return {
        "file": truth.path.name,
        "whole_room": whole,
        "surfaces": [{"name": s.name, "material": s.material, "outlines": s.outlines} for s in surfaces],
    }


class Trial:
    """One room begun with a grey card on one surface: what each state of it measures, and what that is worth."""

    def __init__(self, scene: Scene, start: str, deck: Deck, memories: Memories) -> None:
        self.scene, self.start, self.deck = scene, start, deck
        self._memories = memories
        self._measured: dict[State, RoomMeasurement] = {}
        self._known: dict[State, tuple[float, float]] = {}
        self._advice: dict[State, Advice] = {}

    def begin(self) -> State:
        """Return the state with the card in the whole picture alone."""
        return frozenset()

    def open_steps(self, state: State, kinds: Sequence[str]) -> list[Step]:
        """Return what can still be done, in the order of the room."""
        read = {name for kind, name in state if kind == "instrument"}
        carded = {name for kind, name in state if kind == "three cards"}
        return [
            step
            for step in self.scene.possible()
            if step[0] in kinds
            and step not in state
            and step[1] not in read
            and not (step[0] == "grey card" and step[1] in {*carded, self.start})
        ]

    def advice(self, state: State) -> Advice:
        """Return what the program would have done next."""
        if state not in self._advice:
            measurement = self._measure(state)
            self._advice[state] = what_would_settle(ask(ROLES, measurement.surfaces, self.deck), measurement.photos)
        return self._advice[state]

    def look(self, state: State) -> tuple[float, float]:
        """Return the weighted dE00 and the regret in a state."""
        if state not in self._known:
            self._known[state] = self._judge(self._measure(state))
        return self._known[state]

    def _measure(self, state: State) -> RoomMeasurement:
        if state not in self._measured:
            room = room_of(self.scene.document(self.start, state), self.scene.paths)
            self._measured[state] = survey_room(room, memories=self._memories).measurement
        return self._measured[state]

    def _judge(self, measurement: RoomMeasurement) -> tuple[float, float]:
        error = 0.0
        for surface in measurement.surfaces:
            expected = [np.array(c.lab) for c in self.scene.truth[surface.name].colours]
            # Where two colours of nearly equal share changed places the measurement is not wrong.
            error += surface.visibility * min(float(delta_e_2000(surface.colours[0].lab, lab)) for lab in expected)
        ready = ask(ROLES, measurement.surfaces, self.deck)
        # As much as is seen of each surface is not in question here.
        seen = {surface.name: surface.visibility for surface in measurement.surfaces}
        true = ask(ROLES, [_true_surface(self.scene.truth[name], seen[name]) for name in seen], self.deck)
        total, regret = 0.0, 0.0
        for role in ROLES:
            best, chosen = score(true, role).score, score(ready, role).score
            weight = weights.ROLE_WEIGHTS[role]
            regret += weight * float(best.max() - best[int(chosen.argmax())])
            total += weight
        return error, 100 * regret / total


def _true_surface(surface: TrueSurface, visibility: float = 1.0) -> Surface:
    nothing = np.zeros((3, 3))
    colours = tuple(SurfaceColour(np.asarray(c.lab), nothing, c.share, "field") for c in surface.colours)
    return make_surface(
        surface.name, surface.material, colours, visibility=visibility, source="instrument", has_own_card=False
    )


Policy = Callable[[Trial, State, Sequence[str]], Step | None]


def advised(trial: Trial, state: State, kinds: Sequence[str]) -> Step | None:
    """The first of the advice that the pictures can stand for."""
    left = trial.open_steps(state, kinds)
    advice = trial.advice(state)
    # What it names, or else what gains most of what there is a picture of.
    named = [advice.best] if advice.best is not None else []
    steps = [(action.kind, action.surface) for action in (*named, *advice.actions)]
    return next((step for step in steps if step in left), None)


def in_order(trial: Trial, state: State, kinds: Sequence[str]) -> Step | None:
    """The same kind on one surface after the other as the room lists them, cards first."""
    return next(iter(trial.open_steps(state, kinds)), None)


def largest_first(trial: Trial, state: State, kinds: Sequence[str]) -> Step | None:
    """As in order, the surface first of which most is seen."""
    return min(trial.open_steps(state, kinds), key=lambda s: (kinds.index(s[0]), -_seen(trial, s)), default=None)


def thorough_in_order(trial: Trial, state: State, kinds: Sequence[str]) -> Step | None:
    """What tells most of a surface, on one surface after the other as the room lists them."""
    order = list(trial.scene.truth)
    return min(trial.open_steps(state, kinds), key=lambda s: (-kinds.index(s[0]), order.index(s[1])), default=None)


def thorough_largest_first(trial: Trial, state: State, kinds: Sequence[str]) -> Step | None:
    """What tells most of a surface, the surface first of which most is seen."""
    return min(trial.open_steps(state, kinds), key=lambda s: (-kinds.index(s[0]), -_seen(trial, s)), default=None)


def _seen(trial: Trial, step: Step) -> float:
    return sum(_area(outline) for outline in trial.scene.truth[step[1]].outlines)


def _area(outline: Sequence[Sequence[float]]) -> float:
    x, y = np.array(outline).T
    return abs(float(x @ np.roll(y, -1) - y @ np.roll(x, -1))) / 2


def at_random(seed: int) -> Policy:
    """Any of what is left."""
    source = np.random.default_rng(seed)

    def pick(trial: Trial, state: State, kinds: Sequence[str]) -> Step | None:
        left = trial.open_steps(state, kinds)
        return left[int(source.integers(len(left)))] if left else None

    return pick


def course(trial: Trial, policy: Policy, kinds: Sequence[str]) -> list[tuple[float, float]]:
    """Return dE00 and regret before and after each step; where nothing is left the last stands."""
    state, found = trial.begin(), [trial.look(trial.begin())]
    for _ in range(STEPS):
        step = policy(trial, state, kinds)
        state = state if step is None else state | {step}
        found.append(trial.look(state))
    return found


def scenes_in(folder: Path) -> Iterator[Scene]:
    """Yield the rooms of a folder: one a photo with cards on several surfaces, one a set with close-ups."""
    truths = truths_in(folder)
    for truth in truths:
        if len({on for *_, on in truth.cards if on in {s.name for s in truth.surfaces}}) >= 3:
            yield single_scene(truth)
    sets: dict[str, list[TruePhoto]] = {}
    for truth in truths:
        if truth.path.stem.rpartition("_")[2] in ("day", "led") and truth.cards:
            sets.setdefault(truth.path.stem.rpartition("_")[2], []).append(truth)
    for light, photos in sets.items():
        if len(photos) > 2:
            yield several_scene(f"{folder.name} {light}", photos)


@cache
def _deck() -> Deck:
    return demo_deck()


def main(arguments: Sequence[str]) -> None:
    """Print the courses of every policy over the rooms of the folders named."""
    folders = [Path(a) for a in arguments] or sorted({p.parent for p in SAMPLES.glob("*/*.truth.json")})
    trials = []
    for scene in (scene for folder in folders for scene in scenes_in(folder)):
        memories = Memories(Recall(12), Recall(4000))
        trials += [Trial(scene, start, _deck(), memories) for start in scene.lying]
    print(f"{len({id(t.scene) for t in trials})} rooms, {len(trials)} beginnings, {len(_deck())} paints")
    for title, kinds in (
        ("cards only", ("grey card", "three cards")),
        ("cards or an instrument", ("grey card", "three cards", "instrument")),
    ):
        compare(title, trials, kinds)
    _speed(trials[0])


def compare(title: str, trials: Sequence[Trial], kinds: Sequence[str]) -> None:
    """Print mean dE00 and regret before and after each step, by policy, and how often the advice did better."""
    policies: dict[str, Sequence[Policy]] = {
        "as advised": [advised],
        "in the order of the room": [in_order],
        "largest surface first": [largest_first],
        "most thorough, in order": [thorough_in_order],
        "most thorough, largest first": [thorough_largest_first],
        f"at random (mean of {_SHUFFLES})": [at_random(seed) for seed in range(_SHUFFLES)],
    }
    found = {
        name: np.array([np.mean([course(trial, one, kinds) for one in several], axis=0) for trial in trials])
        for name, several in policies.items()
    }
    print(f"\n{title:<28} {'dE00 before, after 1, 2, 3 steps':>36} {'regret, hundredths of fit':>36}")
    for name, courses in found.items():
        means = courses.mean(axis=0)
        print(
            f"{name:<28} {'  '.join(f'{v:6.2f}' for v in means[:, 0]):>36}"
            f" {'  '.join(f'{v:6.2f}' for v in means[:, 1]):>36}"
        )
    ours = found["as advised"]
    for name, courses in found.items():
        if name != "as advised":
            less, more = (ours < courses - 1e-9).mean(axis=0), (ours > courses + 1e-9).mean(axis=0)
            print(
                f"  advice against {name:<26} error less (more) in"
                f" {', '.join(f'{a:.0%} ({b:.0%})' for a, b in zip(less[1:, 0], more[1:, 0], strict=True))};"
                f" regret {', '.join(f'{a:.0%} ({b:.0%})' for a, b in zip(less[1:, 1], more[1:, 1], strict=True))}"
            )


def _speed(trial: Trial) -> None:
    room = room_of(trial.scene.document(trial.start, trial.begin()), trial.scene.paths)
    measurement = survey_room(room).measurement
    question = ask(ROLES, measurement.surfaces, _deck())
    begun = time.perf_counter()
    what_would_settle(question, measurement.photos)
    print(
        f"\nThe advice for {len(ROLES)} roles, {len(_deck())} paints, {len(question.givens.lab)} surface colours:"
        f" {time.perf_counter() - begun:.2f} s"
    )


if __name__ == "__main__":
    main(sys.argv[1:])
