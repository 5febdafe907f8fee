"""Does a file carry a gain map: a second picture that brightens the first on a screen with more range than paper?

The first, the base picture, is an ordinary one and is what is measured.
"""

from __future__ import annotations

from matcher.photo.container import Container

# ISO 21496-1: the name of its segment in JPEG and of its derived item in HEIF files; and the XMP that came before it.
_ISO_SEGMENT = b"urn:iso:std:iso:ts:21496:-1"
_ISO_BRAND = b"tmap"
_XMP_MARKS = (b"hdr-gain-map/1.0/", b"hdrgm:")
# The auxiliary picture's type as phones write it, in HEIC, and in the XMP of a JPEG's second picture.
_AUXILIARY = "hdrgainmap"
_SEVERAL_PICTURES = b"MPF\0"  # CIPA DC-007, 5.2.1


def has_gain_map(container: Container) -> bool:
    """Tell whether the file says that it holds one."""
    if container.kind == "HEIF":
        return _heif_has(container)
    segments = container.segments
    if any(segment.startswith(_ISO_SEGMENT) or any(mark in segment for mark in _XMP_MARKS) for segment in segments):
        return True
    several = any(segment.startswith(_SEVERAL_PICTURES) for segment in segments)
    return several and container.data.find(b":aux:" + _AUXILIARY.encode()) >= 0


def _heif_has(container: Container) -> bool:
    length = int.from_bytes(container.data[:4], "big")
    # ISO/IEC 14496-12, 4.3: major brand, its version, and the brands of four bytes that the file is good for.
    brands = [container.data[at : at + 4] for at in range(16, min(length, 256), 4)]
    auxiliary = container.info.get("aux") or {}
    return _ISO_BRAND in brands or any(_AUXILIARY in str(kind).lower() for kind in auxiliary)
