"""Does the stated doubt hold: ``python -m tests.benchmarks.reliability [FOLDER ...]``.

For every colour that was matched to a true one: how often the stated intervals hold the truth, and how wide they had to
be for it. Coverage is asked for at 50 and 90 %. The interval score (Gneiting & Raftery 2007, JASA 102:359-378, eq. 43)
and the logarithmic score of the whole covariance punish both missing the truth and hiding behind width: smaller is
better. Beside each stands the score of the best single width for all, chosen on these very data: what one number for
all, however clever, would reach.

A second table asks the same of the camera's part alone, by numbers: measured spectra (muted chart patches and colour
evaluation samples) through two real cameras under eleven CIE illuminants (see tests/calibration/spectral_camera.py).
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from matcher.calibration.correction import unknown_camera_sd
from matcher.calibration.lamp import lamp_share, warmth_of
from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.lrv import lrv
from matcher.colorimetry.spaces import Floats
from matcher.harmony.tint import tint
from matcher.report.doubt import lrv_sd
from matcher.room.reading import read_room
from matcher.surfaces import doubt
from matcher.surfaces.measure import measure_room
from matcher.surfaces.surface import Cause
from tests.benchmarks.measurement import SAMPLES, SHARE_TOLERANCE
from tests.benchmarks.truth import TruePhoto, TrueSurface, room_text, truths_in
from tests.calibration.spectral_camera import NIKON, SIGMA, camera, grey_card, spectra, true_lab
from tests.calibration.test_camera_simulation import found_lab, muted

LAMPS = ("A", "FL2", "FL4", "FL11", "FL12", "LED-B1", "LED-B2", "LED-B3", "LED-BH1")
_NORMAL = {0.5: 0.6745, 0.9: 1.645}
_DRAWS = 400
_NEAR_NEUTRAL = 20.0  # C*ab: the greys and beiges whose hue is the undertone
_MATCHED_DE00 = 12.0  # a second colour further from every true one than this is a wrong colour, not a doubtful one


@dataclass(frozen=True, slots=True)
class Found:
    """``lab`` (3,) with ``covariance`` (3, 3) against ``truth`` (3,); ``main`` for the main colour of a surface.

    ``causes`` are the parts of the covariance, where it was stated in parts.
    """

    photo: str
    layout: str
    main: bool
    lab: Floats
    covariance: Floats
    truth: Floats
    causes: Mapping[Cause, Floats] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Scored:
    """Errors in units of what was stated: ``error`` and one-sigma ``sd``, (N,)."""

    error: Floats
    sd: Floats

    def held(self, level: float) -> float:
        """Return the share of errors inside the intervals stated for ``level``, 0.5 or 0.9."""
        return float(np.mean(np.abs(self.error) <= _NORMAL[level] * self.sd))


def main(arguments: Sequence[str]) -> None:
    """Print the reliability tables of all photos in the folders named, or of the sample photos."""
    folders = [Path(a) for a in arguments] or sorted({p.parent for p in SAMPLES.glob("*/*.truth.json")})
    truths = [truth for folder in folders for truth in truths_in(folder) if truth.cards]
    found = [each for truth in truths for each in measured(truth)]
    print(f"{len(truths)} photos, {sum(f.main for f in found)} main colours, {len(found)} colours in all\n")
    print(f"{'':<44} {'n':>4} {'50 %':>6} {'90 %':>6} {'mean width':>10} {'interval score':>14} {'one width':>9}")
    for title, holds in GROUPS:
        chosen = [f for f in found if holds(f)]
        if chosen:
            for quantity, of in QUANTITIES:
                print_row(f"{title}: {quantity}", of(chosen))
            de00_row(f"{title}: dE00", chosen)
            print(f"{title + ': log score of the covariance':<44} {len(chosen):>4} {_log_score(chosen):>39.2f}")
    print("\nThe camera alone, by numbers")
    for title, lights in (("daylight", ("D65", "D50")), ("lamps", LAMPS), ("all", ("D65", "D50", *LAMPS))):
        by_number = [each for camera in (NIKON, SIGMA) for light in lights for each in simulated(camera, light)]
        for quantity, of in QUANTITIES:
            print_row(f"{title}: {quantity}", of(by_number))
        de00_row(f"{title}: dE00", by_number)


GROUPS: tuple[tuple[str, Callable[[Found], bool]], ...] = (
    ("card on it", lambda f: f.main and f.layout != "elsewhere"),
    ("  three cards", lambda f: f.main and f.layout == "three cards"),
    ("  grey alone", lambda f: f.main and f.layout == "grey card"),
    ("card elsewhere", lambda f: f.main and f.layout == "elsewhere"),
    ("second colours", lambda f: not f.main),
    ("all main colours", lambda f: f.main),
)


def measured(truth: TruePhoto) -> Iterator[Found]:
    """Yield every colour of a photo beside the true colour it stands for."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "room.toml"
        path.write_text(room_text(truth), encoding="utf-8")
        surfaces = {s.name: s for s in measure_room(read_room(path)).surfaces}
    for expected in truth.surfaces:
        for index, colour in enumerate(surfaces[expected.name].colours):
            match = _match(colour.lab, expected, main=index == 0)
            if index == 0 or float(delta_e_2000(colour.lab, match)) < _MATCHED_DE00:
                layout = truth.layout(expected.name)
                yield Found(truth.path.stem, layout, index == 0, colour.lab, colour.covariance, match, colour.causes)


def simulated(camera_name: str, light: str) -> Iterator[Found]:
    """Yield the muted spectra as read through one camera under one light, with the camera's doubt."""
    lamp = lamp_share(warmth_of(camera(camera_name).linear_rgb(grey_card(), light)[0]))
    truth, found = true_lab(spectra("all"))[muted("all")], found_lab(camera_name, light, "all")[muted("all")]
    base, per_chroma = unknown_camera_sd(lamp)
    for lab, true in zip(found, truth, strict=True):
        camera_part = (base + per_chroma * float(np.hypot(*lab[1:]))) * np.array([0.5, 1.0, 1.0])
        covariance = np.diag(camera_part**2 + doubt.TEXTURE**2)
        yield Found(light, "simulated", main=True, lab=lab, covariance=covariance, truth=true)


def _match(lab: Floats, truth: TrueSurface, *, main: bool) -> Floats:
    least = truth.colours[0].share - SHARE_TOLERANCE if main else 0.0
    labs = np.array([c.lab for c in truth.colours if c.share >= least])
    return np.asarray(labs[delta_e_2000(lab, labs).argmin()])


def _lightness(found: Sequence[Found]) -> Scored:
    error = [float(lrv(f.lab) - lrv(f.truth)) for f in found]
    return Scored(np.array(error), np.array([lrv_sd(f.lab, f.covariance) for f in found]))


def _hue(found: Sequence[Found]) -> Scored:
    """Across the hue, in chroma units: degrees mean nothing near grey."""
    near = [f for f in found if np.hypot(*f.truth[1:]) < _NEAR_NEUTRAL]
    error, sd = [], []
    for f in near:
        radial = tint(f.truth[None]).hue_deg[0]
        across = np.array([-np.sin(np.radians(radial)), np.cos(np.radians(radial))])
        error.append(float(across @ (f.lab - f.truth)[1:]))
        sd.append(float(np.sqrt(across @ f.covariance[1:, 1:] @ across)))
    return Scored(np.array(error), np.array(sd))


def _chroma(found: Sequence[Found]) -> Scored:
    error, sd = [], []
    for f in found:
        along = f.truth[1:] / max(float(np.linalg.norm(f.truth[1:])), 1e-6)
        error.append(float(along @ (f.lab - f.truth)[1:]))
        sd.append(float(np.sqrt(along @ f.covariance[1:, 1:] @ along)))
    return Scored(np.array(error), np.array(sd))


QUANTITIES: tuple[tuple[str, Callable[[Sequence[Found]], Scored]], ...] = (
    ("LRV", _lightness),
    ("across the hue, near-neutrals", _hue),
    ("along the chroma", _chroma),
)


def print_row(title: str, scored: Scored) -> None:
    """Print coverage, mean width of the 90 % interval and its score."""
    off = np.abs(scored.error)
    held = [scored.held(level) for level in (0.5, 0.9)]
    half = _NORMAL[0.9] * scored.sd
    widths = np.linspace(0.0, max(float(off.max()), 1e-6), 400)
    single = min(float(np.mean(_interval_score(off, np.full(len(off), w)))) for w in widths)
    print(
        f"{title:<44} {len(off):>4} {held[0]:>6.0%} {held[1]:>6.0%} {2 * half.mean():>10.1f}"
        f" {np.mean(_interval_score(off, half)):>14.1f} {single:>9.1f}"
    )


def _interval_score(off: Floats, half: Floats, alpha: float = 0.1) -> Floats:
    return np.asarray(2 * half + 2 / alpha * np.maximum(off - half, 0))


def de00_row(title: str, found: Sequence[Found]) -> None:
    """Print how often the true colour lies within the dE00 that 50 and 90 % of draws from the covariance stay below."""
    held = [de00_held(found, level) for level in (0.5, 0.9)]
    print(f"{title:<44} {len(found):>4} {held[0]:>6.0%} {held[1]:>6.0%}")


def de00_held(found: Sequence[Found], level: float) -> float:
    """Return the share of ``found`` whose true colour lies within the dE00 that ``level`` of draws stay below."""
    rng = np.random.default_rng(0)
    rank = []
    for f in found:
        drawn = rng.multivariate_normal(f.lab, f.covariance, _DRAWS)
        rank.append(float(np.mean(delta_e_2000(drawn, f.lab) < delta_e_2000(f.truth, f.lab))))
    return float(np.mean(np.array(rank) <= level))


def _log_score(found: Sequence[Found]) -> float:
    """Return the mean of minus the logarithm of the normal density of the truth, less a constant."""
    scores = []
    for f in found:
        step = f.lab - f.truth
        scores.append(0.5 * step @ np.linalg.solve(f.covariance, step) + 0.5 * np.linalg.slogdet(f.covariance)[1])
    return float(np.mean(scores))


if __name__ == "__main__":
    main(sys.argv[1:])
