"""A strip split into chips: against pictures of strips that OpenCV itself put into perspective."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from matcher.errors import RequestError
from matcher.service.choices import CHIPS_OF_STRIP
from matcher.service.strip import chips_of_strip

# Homographies written down, not solved from corners: (x, y, 1) of a strip 600 x 120 to a photo 900 x 700.
PLACES = {
    "flat": [[1, 0, 100], [0, 1, 200], [0, 0, 1]],
    "turned": [[0.1, 1.2, 300], [0.9, -0.1, 60], [0, 0, 1]],
    "leaning away": [[1.6, 0.3, 60], [0.25, 1.9, 120], [0.0014, 0.0004, 1]],
    "leaning sideways": [[0.9, -0.4, 250], [0.35, 1.5, 100], [0.0002, 0.0021, 1]],
}


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("count", [2, 5, 7])
def test_each_outline_lies_on_its_own_chip(place: str, count: int) -> None:
    to_photo = np.array(PLACES[place], dtype=float)
    flat = (np.arange(600) * count // 600 + 1).astype(np.uint8)
    photo = cv2.warpPerspective(np.tile(flat, (120, 1)), to_photo, (900, 700), flags=cv2.INTER_NEAREST)
    corners = cv2.perspectiveTransform(np.array([[[0, 0], [600, 0], [600, 120], [0, 120]]], dtype=float), to_photo)[0]
    for first in range(4):
        outline = [(float(x), float(y)) for x, y in np.roll(corners, first, axis=0)]
        seen = []
        for chip in chips_of_strip(outline, count):
            inside = np.zeros(photo.shape, np.uint8)
            cv2.fillConvexPoly(inside, np.array(chip).round().astype(np.int32), 1)
            (number,) = np.unique(photo[inside.astype(bool)]).tolist()
            seen.append(number)
            # Most of the chip is read: (2 * 0.385)^2 = 0.59 of it, were it flat.
            assert 0.5 < inside.sum() / (photo == number).sum() < 0.7
        assert seen in (list(range(1, count + 1)), list(range(count, 0, -1)))


@pytest.mark.parametrize(
    ("outline", "count", "said"),
    [
        ([(0, 0), (9, 0), (9, 9)], 3, "3 points"),
        ([(0, 0), (90, 0), (90, 20), (45, 10), (0, 20)], 3, "5 points"),
        ([(0, 0), (90, 0), (30, 10), (0, 60)], 3, "bent inwards"),
        ([(0, 0), (90, 20), (90, 0), (0, 20)], 3, "bent inwards"),
        ([(0, 0), (45, 0), (90, 0), (0, 20)], 3, "bent inwards"),
        ([(0, 0), (90, 0), (90, 20), (0, 20)], CHIPS_OF_STRIP[0] - 1, "1 chips"),
        ([(0, 0), (90, 0), (90, 20), (0, 20)], CHIPS_OF_STRIP[1] + 1, "2 to 24"),
    ],
)
def test_what_is_no_strip_is_refused_with_the_reason(outline: list[tuple[float, float]], count: int, said: str) -> None:
    with pytest.raises(RequestError, match=said):
        chips_of_strip(outline, count)
