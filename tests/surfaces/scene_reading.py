"""One surface of a drawn scene, read by the cards that lie in it."""

from __future__ import annotations

import numpy as np

from matcher.calibration.photo_calibration import PhotoCalibration
from matcher.photo.decoded import Photo
from matcher.room.contents import OutlinedSurface
from matcher.surfaces.card_noise import noise_left
from matcher.surfaces.reading import SurfaceReading, read_surface
from tests.calibration.scenes import Scene


def read_in(
    scene: Scene, photo: Photo, calibration: PhotoCalibration, surface: OutlinedSurface, *, fall: float = 0.0
) -> SurfaceReading:
    """Return what ``surface`` reads in a ``photo`` of ``scene``; ``fall`` as for :func:`read_surface`."""
    return read_surface(
        photo,
        calibration,
        surface,
        cards=[np.asarray(card.outline) for card in scene.cards],
        noise_left=noise_left(photo, scene.cards, calibration.noise),
        whole_room=False,
        where="photo",
        fall=fall,
    )
