"""What a measured room tells whoever ranks, advises and reports: all but the pixels.

A room measured just now has both; one whose measurement was kept has only this.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from matcher.calibration.cast import Cast
from matcher.errors import Problem
from matcher.photo.decoded import Finding
from matcher.room.contents import PhotoEntry
from matcher.surfaces.contradiction import Contradiction
from matcher.surfaces.instrument import InstrumentReading
from matcher.surfaces.surface import Surface
from matcher.surfaces.unread import Unread


class PhotoTold(Protocol):
    """One photo: ``full_size`` (width, height); ``tone_known`` as in :class:`matcher.photo.decoded.ColourSpace`;
    ``decoding`` what decoding noticed, ``findings`` what came beside it; ``cast`` None where no card could be read, and
    ``camera_sd`` (:class:`matcher.calibration.photo_calibration.PhotoCalibration`) None where nothing was measured.
    """

    @property
    def photo_entry(self) -> PhotoEntry: ...

    @property
    def full_size(self) -> tuple[int, int]: ...

    @property
    def tone_known(self) -> bool: ...

    @property
    def decoding(self) -> tuple[Finding, ...]: ...

    @property
    def findings(self) -> tuple[Finding, ...]: ...

    @property
    def cast(self) -> Cast | None: ...

    @property
    def camera_sd(self) -> tuple[float, float] | None: ...


class RoomTold(Protocol):
    """The room, as :class:`matcher.surfaces.measure.RoomMeasurement` says."""

    @property
    def surfaces(self) -> tuple[Surface, ...]: ...

    @property
    def photos(self) -> Sequence[PhotoTold]: ...

    @property
    def instruments(self) -> tuple[InstrumentReading, ...]: ...

    @property
    def contradictions(self) -> tuple[Contradiction, ...]: ...

    @property
    def unread(self) -> tuple[Unread, ...]: ...

    @property
    def lost(self) -> tuple[Problem, ...]: ...


class SurveyTold(Protocol):
    """What could be measured and why the rest could not, as :class:`matcher.surfaces.measure.Survey` says."""

    @property
    def measurement(self) -> RoomTold: ...

    @property
    def card_problems(self) -> tuple[Problem, ...]: ...

    @property
    def surface_problems(self) -> tuple[Problem, ...]: ...
