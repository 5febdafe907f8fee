"""What the header says of a file's way here: written by a camera, by a program later on, or by a chat in between.

A sign is told as what was seen and is no proof: a copy differs from an original only in what it lost. Where the header
says nothing nothing is said: most pictures of unknown origin are as the camera wrote them, but for their tags.
"""

from __future__ import annotations

import re
from datetime import datetime

from PIL import ExifTags

from matcher.photo.container import Container
from matcher.photo.decoded import Finding
from matcher.photo.jpeg_quality import is_scaled_standard, jpeg_quality

# Exif 2.32: what only a camera knows when the picture is taken.
_CAMERA_TAGS = (
    ExifTags.Base.Make,
    ExifTags.Base.Model,
    ExifTags.Base.LensModel,
    ExifTags.Base.ExposureTime,
    ExifTags.Base.FNumber,
    ExifTags.Base.ISOSpeedRatings,
    ExifTags.Base.FocalLength,
)
# ISO 16684-1, 8.2.2 ResourceEvent: what was done to the file; these alone are no edit.
_EVENT = re.compile(rb"stEvt:action(?:\s*=\s*[\"']|>)\s*(\w+)")
# The same, "changed": which parts; where that is the metadata alone the picture is as it was.
_CHANGED = re.compile(rb"stEvt:changed(?:\s*=\s*[\"']|>)\s*([^\"'<]*)")
_ENTRY = re.compile(rb"<rdf:li\b")
_HARMLESS_EVENTS = {b"created", b"produced", b"published", b"copied"}
# The settings that a raw developer leaves in what it writes.
_DEVELOPED = re.compile(rb"HasSettings(?:\s*=\s*[\"']|>)\s*True", re.IGNORECASE)

# Assumption: a camera is done with a picture after this time, also one put together from many. Whole quarters of an
# hour are time zones.
_DONE_AFTER_S, _QUARTER_S, _SLACK_S = 120, 900, 2
_IN_DAYS_FROM_H = 48
# Assumption: names of programs have a word of letters alone this long; version numbers of cameras have none.
_WORD_LETTERS = 5
_CAMERA_WORDS = {"version", "firmware", "release", "build", "camera", "digital", "software"}
# Common practice, no source: chats scale pictures down to such a longer side and compress them anew, cameras do
# neither.
_CHAT_SIDES_PX = (960, 1024, 1080, 1280, 1440, 1600, 1920, 2048, 2560)
_CHAT_QUALITY, _STRONG_QUALITY = 86, 70
# ITU-T T.81: pictures are coded in blocks of up to 16 pixels a side; some cameras note the rows of their sensor and
# write whole blocks of them.
_BLOCK_PX = 16
_SAME_SHAPE = 0.02
# Assumption: screens of phones are this much longer than wide, and this wide; no camera's sensor is both.
_SCREEN_ASPECT, _SCREEN_WIDTH_PX = (1.95, 2.40), (640, 1700)


def origin_findings(container: Container) -> tuple[Finding, ...]:
    """Return one finding for each sign that the file is not as the camera wrote it."""
    return (*_screenshot(container), *_edits(container), *_resized(container), *_recompressed(container))


def _from_camera(container: Container) -> bool:
    return any(tag in container.exif for tag in _CAMERA_TAGS)


def _screenshot(container: Container) -> tuple[Finding, ...]:
    comment = container.exif.get(ExifTags.Base.UserComment)
    if isinstance(comment, bytes) and b"screenshot" in comment.lower():
        return (Finding("screenshot", "warn", (("seen", "it says so itself"),)),)
    short, long = sorted(container.size)
    like_a_screen = (
        _SCREEN_ASPECT[0] <= long / short <= _SCREEN_ASPECT[1] and _SCREEN_WIDTH_PX[0] <= short <= _SCREEN_WIDTH_PX[1]
    )
    if container.kind == "PNG" and container.bits == 8 and like_a_screen and not _from_camera(container):
        return (Finding("screenshot", "warn", (("seen", "a PNG of a screen's shape"),)),)
    return ()


def _edits(container: Container) -> tuple[Finding, ...]:
    xmp = _xmp(container)
    found = []
    if _DEVELOPED.search(xmp) or _changed_picture(xmp):
        found.append(Finding("record of edits", "warn"))
    elif _written_by_program(container):
        found.append(Finding("written by a program", "note"))
    later = _saved_later_s(container)
    if later > _DONE_AFTER_S:
        hours = later / 3600
        if hours < _IN_DAYS_FROM_H:
            found.append(Finding("saved again", "note", (("hours", hours),)))
        else:
            found.append(Finding("saved again", "note", (("days", hours / 24),)))
    return tuple(found)


def _xmp(container: Container) -> bytes:
    """Return the metadata packets (ISO 16684-1) of the file."""
    packets = [content for content in container.segments if b"<rdf:RDF" in content]
    packet = container.info.get("xmp") or container.info.get("XML:com.adobe.xmp") or b""
    return b"".join([*packets, packet.encode() if isinstance(packet, str) else packet])


def _changed_picture(xmp: bytes) -> bool:
    """Tell whether an event is noted that may have changed the picture, not its metadata alone."""
    for entry in _ENTRY.split(xmp):
        changed = _CHANGED.search(entry)
        parts = {part.strip() for part in changed[1].split(b";")} - {b""} if changed else set()
        if set(_EVENT.findall(entry)) - _HARMLESS_EVENTS and parts != {b"/metadata"}:
            return True
    return False


def _as_taken(container: Container) -> bool:
    """Tell whether both dates and the size that the camera noted are still so, as no program leaves them that writes
    the picture anew with its own date.
    """
    tags = (ExifTags.Base.DateTimeOriginal, ExifTags.Base.DateTime)
    taken, saved = (_date(container.exif.get(tag)) for tag in tags)
    sized = all(tag in container.exif for tag in (ExifTags.Base.ExifImageWidth, ExifTags.Base.ExifImageHeight))
    return taken is not None and taken == saved and sized and not _resized(container)


def _written_by_program(container: Container) -> bool:
    """Tell whether the file names a writer that is neither the camera's maker and model nor a version number."""
    exif = container.exif
    if exif.get(ExifTags.Base.ProcessingSoftware):
        return True
    software = _words(exif.get(ExifTags.Base.Software))
    if software & _CAMERA_WORDS or _as_taken(container):
        return False
    own = _words(exif.get(ExifTags.Base.Make)) | _words(exif.get(ExifTags.Base.Model))
    named = _standing_alone(exif.get(ExifTags.Base.Software)) & software
    return not software & own and any(len(word) >= _WORD_LETTERS for word in named)


def _words(text: object) -> set[str]:
    """Return the words of letters alone, in lower case: what has a digit in it is a version or a build."""
    words = re.split(r"[\s/;,()_+-]+", text.lower()) if isinstance(text, str) else []
    return {word for word in words if word.isalpha()}


def _standing_alone(text: object) -> set[str]:
    """Return the words, in lower case, between spaces: what is joined by a hyphen or a slash is a build of firmware."""
    return set(text.lower().split()) if isinstance(text, str) else set()


def _saved_later_s(container: Container) -> float:
    """Return by how many seconds the file was changed after the picture was taken, as its two dates say; else 0."""
    taken, saved = (_date(container.exif.get(tag)) for tag in (ExifTags.Base.DateTimeOriginal, ExifTags.Base.DateTime))
    if taken is None or saved is None:
        return 0.0
    later = (saved - taken).total_seconds()
    off = (later + _QUARTER_S / 2) % _QUARTER_S - _QUARTER_S / 2
    return 0.0 if abs(off) <= _SLACK_S and later < 86400 else later


def _date(text: object) -> datetime | None:
    try:
        return datetime.strptime(text, "%Y:%m:%d %H:%M:%S") if isinstance(text, str) else None
    except ValueError:
        return None


def _resized(container: Container) -> tuple[Finding, ...]:
    tags = (ExifTags.Base.ExifImageWidth, ExifTags.Base.ExifImageHeight)
    taken = [value for value in map(container.exif.get, tags) if isinstance(value, int) and value > 1]
    short, long = sorted(container.size)
    if len(taken) < 2 or (abs(min(taken) - short) < _BLOCK_PX and abs(max(taken) - long) < _BLOCK_PX):
        return ()
    # Exif 2.32, 4.6.5: the two tags hold the size of the picture in the file, so another one is a sign of a change, but
    # some cameras note what their sensor has. What was only made smaller keeps its shape.
    scaled = abs(max(taken) / min(taken) - long / short) < _SAME_SHAPE
    name = "" if scaled else "crop_"
    values = ((f"{name}width", max(taken)), (f"{name}height", min(taken)), ("now_width", long), ("now_height", short))
    return (Finding("not the camera's size", "note", values),)


def _stripped(container: Container) -> bool:
    """Tell whether no tag is left beside the picture, as chats leave none, and its table is the standard's, scaled as
    programs scale it; most cameras have their own.
    """
    return not container.exif and is_scaled_standard(container.luminance)


def _recompressed(container: Container) -> tuple[Finding, ...]:
    if len(container.luminance) != 64:
        return ()
    quality, long = jpeg_quality(container.luminance), max(container.size)
    values = (("side", long), ("quality", quality))
    if long in _CHAT_SIDES_PX and quality < _CHAT_QUALITY and _stripped(container):
        return (Finding("perhaps a copy", "warn", values),)
    return (Finding("strong compression", "note", values),) if quality < _STRONG_QUALITY else ()
