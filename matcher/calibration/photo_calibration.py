"""Everything the references say about one photo: its tone curve, its cast, its light at each card, its chips."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np

from matcher.calibration.agreement import disagreements, out_of_order
from matcher.calibration.cast import Cast, measure_cast
from matcher.calibration.chart import Chart
from matcher.calibration.colour_matrix import ColourFit
from matcher.calibration.correction import chroma_factor_sd, stray_light, unknown_camera_correction, unknown_camera_sd
from matcher.calibration.curve_evidence import places, shared_slope
from matcher.calibration.curve_fit import fit_tone_curve
from matcher.calibration.curve_prior import curve_without_scale
from matcher.calibration.lamp import lamp_share, warmth_left
from matcher.calibration.light import NO_STRAY_LIGHT, Light, decode_tables, light_at, telling
from matcher.calibration.lights_apart import lights_apart
from matcher.calibration.local_tone import local_tone_findings
from matcher.calibration.neutrality import coloured
from matcher.calibration.on_luminance import BY_CHANNEL, OnLuminance, on_luminance
from matcher.calibration.paint_chip import Chip, Paints, read_chip
from matcher.calibration.patch import LEVELS, Patch
from matcher.calibration.references import read_reference
from matcher.calibration.tone_curve import ToneCurve, known_curve, plain_table
from matcher.colorimetry.spaces import Floats
from matcher.errors import CardError, Problem
from matcher.photo.decoded import ColourSpace, Finding, Level, Photo
from matcher.room.contents import Reference

# Assumption: a cast beyond this angle leaves errors that the balance cannot take out.
_STRONG_CAST_DEG = 25.0
# Of the logarithm of light, one-sigma: a chip lies as flat as a card beside it does (assumption).
_LYING_SD = 0.02
_NO_PAINTS: Paints = MappingProxyType({})


@dataclass(frozen=True, slots=True, eq=False)
class LyingChip:
    """A ``chip`` under the ``light`` of its place, which at the chip is brighter by ``level`` (logarithm), one-sigma
    ``level_sd``.
    """

    chip: Chip
    light: Light
    level: float
    level_sd: float


@dataclass(frozen=True, slots=True, eq=False)
class PhotoCalibration:
    """``table`` (256,) linear value of each file value under the fitted curve, ``shifted`` (5, 256) under curves with
    each strength moved by ``light.CURVE_STEP``; ``lights`` one a place with cards; ``noise`` one-sigma of a file value.

    ``correction`` (correction.py) brings cone responses relative to white to those of the eye, white to itself;
    ``camera_sd`` is what it leaves: one-sigma in Lab at grey, and for each unit of chroma; ``chroma_sd`` is one-sigma
    of the camera's own factor on chroma, 0 where a chart told it. ``lamp`` is how much speaks of a warm lamp, 0..1.
    ``shared`` is what of the curve lies on luminance.
    Without ``patches`` and ``chips`` there is no ``cast`` either, and the one light is a guess (no_card.py).
    """

    patches: tuple[Patch, ...]
    curve: ToneCurve
    table: Floats
    shifted: Floats
    cast: Cast | None
    lights: tuple[Light, ...]
    noise: float
    findings: tuple[Finding, ...]
    camera_sd: tuple[float, float]
    chroma_sd: float
    correction: Floats
    lamp: float
    charts: tuple[Chart, ...] = ()
    chips: tuple[LyingChip, ...] = ()
    shared: OnLuminance = BY_CHANNEL

    @property
    def guessed(self) -> bool:
        """Whether no reference lies in the photo, so that its light is a guess."""
        return not self.patches and not self.chips


def calibrate(
    photo: Photo,
    references: Sequence[Reference],
    where: str,
    *,
    believed: ToneCurve | None = None,
    paints: Paints = _NO_PAINTS,
) -> PhotoCalibration:
    """Read the references of one photo (at least one) and fit what they tell.

    ``believed`` is the tone curve where the photo has no evidence of its own, ``paints`` what the deck says of chips.
    A chip that cannot serve is left out and named among the findings.

    Raises :class:`CardError` naming every reference that cannot serve, if none is left that can.
    """
    patches, charts, problems = _read(photo, references, where)
    chips, amiss = _read_chips(photo, references, paints, where)
    if patches and not chips and not any(p.usable for p in patches):
        clipped = [
            Problem(f"{where}: {p.kind}", "the patch is black in the photo", "Use a brighter photo")
            if p.blackened
            else Problem(f"{where}: {p.kind}", f"{100 * p.clipped:.0f} % of the patch is clipped to white",
                         "Take the photo again, a little darker")
            for p in patches
        ]  # fmt: skip
        raise CardError.of([*problems, *clipped])
    if problems or not (patches or chips):
        raise CardError.of([*problems, *(problem for _, problem in amiss)])
    calibration = _calibration(patches, charts, chips, photo.colour_space, believed)
    return replace(calibration, findings=(*calibration.findings, *(_left_out(code, why) for code, why in amiss)))


def with_believed_curve(calibration: PhotoCalibration, space: ColourSpace, believed: ToneCurve) -> PhotoCalibration:
    """Return the calibration of a photo in ``space`` again, under a curve ``believed`` from elsewhere."""
    chips = [lying.chip for lying in calibration.chips]
    left_out = tuple(finding for finding in calibration.findings if finding.check == "chip left out")
    again = _calibration(calibration.patches, calibration.charts, chips, space, believed)
    return replace(again, findings=(*again.findings, *left_out))


def _calibration(
    patches: Sequence[Patch],
    charts: Sequence[Chart],
    chips: Sequence[Chip],
    space: ColourSpace,
    believed: ToneCurve | None,
) -> PhotoCalibration:
    usable = [p for p in patches if p.usable]
    # Chips stand in for cards where there are none: their own colours are known less well than a card's.
    neutral = usable or [chip.patch for chip in chips]
    curve = fit_tone_curve(usable, space, believed) if usable else _unfitted(neutral, space, believed)
    table, shifted = decode_tables(curve, space)
    lit = _lit_places(usable, chips)
    members = [cards or [chip.patch for chip in lying] for cards, lying in lit]

    def lights_with(stray: Floats, shared: OnLuminance) -> tuple[Light, ...]:
        return tuple(
            replace(light_at(several, table, shifted, space, curve.misfit, stray, shared), by_chips=not cards)
            for several, (cards, _) in zip(members, lit, strict=True)
        )

    shared = BY_CHANNEL
    lights = lights_with(NO_STRAY_LIGHT, shared)
    seen_amiss = _colour_fit(charts, members, lights, table, space)
    if seen_amiss is not None:
        # Stray light lies over all of the picture (assumption), so over cards elsewhere as well.
        shared = on_luminance(seen_amiss.on_luminance, space)
        lights = lights_with(stray_light(seen_amiss.correction), shared)
    cast = measure_cast(neutral, table, space)
    warmth = warmth_left(neutral, space)
    lamp = lamp_share(warmth)
    developed = not space.tone_known
    correction = unknown_camera_correction(lamp, developed=developed)
    return PhotoCalibration(
        patches=tuple(patches),
        curve=curve,
        table=table,
        shifted=shifted,
        cast=cast,
        lights=lights,
        noise=float(np.median([p.noise for p in (patches or neutral) if not p.blackened])),
        findings=(
            *_clipped(patches),
            *_curve_finding(curve, space, borrowed=believed is not None),
            _cast_finding(cast),
            *lights_apart(lights),
            *local_tone_findings(patches, table),
            *disagreements(usable, table),
            *(finding for chart in charts for finding in chart.findings),
        ),
        charts=tuple(charts),
        camera_sd=unknown_camera_sd(lamp, warmth) if seen_amiss is None else seen_amiss.camera_sd,
        chroma_sd=chroma_factor_sd(developed=developed) if seen_amiss is None else 0.0,
        correction=correction if seen_amiss is None else seen_amiss.correction,
        lamp=lamp,
        shared=shared,
        chips=tuple(
            chip
            for several, (_, lying), light in zip(members, lit, lights, strict=True)
            for chip in _lying(lying, several, light)
        ),
    )


def _unfitted(patches: Sequence[Patch], space: ColourSpace, believed: ToneCurve | None) -> ToneCurve:
    """Return the curve to believe in without a neutral card: coloured ``patches`` only bound it."""
    return known_curve() if space.tone_known else curve_without_scale(patches, space, believed)


def _lit_places(usable: Sequence[Patch], chips: Sequence[Chip]) -> list[tuple[list[Patch], list[Chip]]]:
    """Return the usable cards and the chips of each place, those with cards first in the order of the cards."""
    groups = places([*usable, *(chip.patch for chip in chips)])
    count = len(usable)
    lit = [([usable[i] for i in g if i < count], [chips[i - count] for i in g if i >= count]) for g in groups]
    return [each for each in lit if each[0]] + [each for each in lit if not each[0]]


def _lying(chips: Sequence[Chip], members: Sequence[Patch], light: Light) -> Iterator[LyingChip]:
    """Yield the chips of a place under its light, which its ``members`` tell."""
    slope, slope_sd = shared_slope(members)
    for chip in chips:
        away = chip.patch.centre - light.position
        level_sd = float(np.hypot(_LYING_SD, slope_sd * np.linalg.norm(away)))
        yield LyingChip(chip, light, float(away @ slope), level_sd)


def _colour_fit(
    charts: Sequence[Chart],
    members: Sequence[Sequence[Patch]],
    lights: Sequence[Light],
    table: Floats,
    space: ColourSpace,
) -> ColourFit | None:
    """Return what the first chart that can tell tells of the camera, under the light of the place its greys lie at."""
    for chart in charts:
        for patches, light in zip(members, lights, strict=True):
            if any(grey is patch for grey in chart.greys for patch in patches):
                found = chart.fit(table, light, space, telling(patches))
                if found is not None:
                    return found
    return None


def _read(photo: Photo, references: Sequence[Reference], where: str) -> tuple[list[Patch], list[Chart], list[Problem]]:
    patches: list[Patch] = []
    charts: list[Chart] = []
    problems: list[Problem] = []
    places_read: list[str] = []
    for index, reference in enumerate(references):
        if reference.kind == "paint chip":
            continue
        place = f"{where}: references[{index}] ({reference.kind})"
        try:
            read = read_reference(photo, reference, place)
        except CardError as error:
            problems.extend(error.problems)
            continue
        patches += read.patches
        places_read += [place] * len(read.patches)
        charts += [read.chart] if read.chart else []
    # What is black in the file has neither a colour nor a place in the order.
    shown = [(patch, place) for patch, place in zip(patches, places_read, strict=True) if not patch.blackened]
    if shown:
        seen, named = zip(*shown, strict=True)
        plain = plain_table(photo.colour_space, LEVELS)
        problems.extend(coloured(seen, plain, named))
        problems.extend(out_of_order(seen, plain, named))
    return patches, charts, problems


def _read_chips(
    photo: Photo, references: Sequence[Reference], paints: Paints, where: str
) -> tuple[list[Chip], list[tuple[str, Problem]]]:
    """Return the chips that can serve, and the code of each other one with what is amiss."""
    chips: list[Chip] = []
    amiss: list[tuple[str, Problem]] = []
    for index, reference in enumerate(references):
        if reference.kind == "paint chip":
            try:
                chips.append(read_chip(photo, reference, paints, f"{where}: references[{index}] (paint chip)"))
            except CardError as error:
                amiss += [(str(reference.paint), problem) for problem in error.problems]
    return chips, amiss


def _left_out(code: str, problem: Problem) -> Finding:
    return Finding("chip left out", "warn", (("why", problem.what), ("remedy", problem.remedy)), code)


def _clipped(patches: Sequence[Patch]) -> tuple[Finding, ...]:
    return tuple(
        Finding("black patch", "warn", (), p.on or p.kind)
        if p.blackened
        else Finding("clipped patch", "warn", (("share", round(p.clipped, 3)),), p.on or p.kind)
        for p in patches
        if not p.usable
    )


def _curve_finding(curve: ToneCurve, space: ColourSpace, *, borrowed: bool) -> tuple[Finding, ...]:
    if space.tone_known:
        return (Finding("tone curve none", "ok"),)
    if curve.evidence:
        values = (("strength", round(float(curve.strength[0]), 3)), ("ratios", float(curve.evidence)))
        return (Finding("tone curve", "ok", values),)
    return (Finding("tone curve borrowed", "note") if borrowed else Finding("tone curve unknown", "warn"),)


def _cast_finding(cast: Cast) -> Finding:
    level: Level = "note" if cast.angle_deg < _STRONG_CAST_DEG else "warn"
    return Finding("cast", level, (("angle_deg", round(cast.angle_deg, 1)),))
