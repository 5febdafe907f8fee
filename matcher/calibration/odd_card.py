"""A card far from the colour that the rest of its picture gives to the light: it may be no grey card at all.

A card alone cannot be told from a coloured thing under an odd light. The picture can, roughly: where the card says that
the light is far from what the camera took for white, the rest of the picture should lean the same way.
"""

from __future__ import annotations

import numpy as np

from matcher.calibration.light import cone_matrix
from matcher.calibration.no_card import COLOUR_SD, picture_light
from matcher.calibration.photo_calibration import PhotoCalibration
from matcher.colorimetry.spaces import Floats
from matcher.photo.decoded import Finding, Photo

# Times the doubt of a guessed light. On 34 rendered photos no card comes beyond 4.7, mixed light and deep shade
# included; outlines laid on their timber floors and on brick come to 3.1, then 5.2 to 13.9.
_ODD = 5.0


def odd_cards(photo: Photo, calibration: PhotoCalibration) -> tuple[Finding, ...]:
    """Return a finding for each place whose cards are far both from the file's own white and from the picture's light.

    The picture is looked at only where a card is that far from the file's white, which few are. A chart is known by its
    patches and never odd.
    """
    if calibration.charts:
        return ()
    white = np.log(cone_matrix(photo.colour_space).sum(axis=1))
    suspects = [light for light in calibration.lights if _sigmas(light.cones, white) > _ODD]
    seen = picture_light(photo, calibration.table) if suspects else None
    if seen is None:
        return ()
    apart = [(_sigmas(light.cones, seen), light) for light in suspects]
    return tuple(
        Finding("card odd", "warn", (("sigmas", round(sigmas, 1)),), light.on or "card")
        for sigmas, light in apart
        if sigmas > _ODD
    )


def _sigmas(one: Floats, other: Floats) -> float:
    """Return how far apart the colours of two lights are; logarithms (3,) of cone responses."""
    apart = one - other
    return float(np.linalg.norm((apart[[0, 2]] - apart[1]) / COLOUR_SD))
