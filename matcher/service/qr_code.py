"""An address as a QR code (ISO/IEC 18004), for a phone to read off the screen."""

from __future__ import annotations

from io import BytesIO


def qr_svg(text: str) -> str:
    """Return the code of a text as SVG: black on white, with the quiet zone of four modules that the standard asks
    for; medium correction, which fingers on a screen need and a print does not spoil.
    """
    import segno

    stream = BytesIO()
    segno.make_qr(text, error="m").save(stream, kind="svg", border=4, light="#fff", xmldecl=False, omitsize=True)
    return stream.getvalue().decode("utf-8")
