"""A bar code scanner and a thermal printer's view of a label."""

from __future__ import annotations

from formulary.labels.raster import Raster

_DARK_BELOW = 128


def codes_in(raster: Raster) -> list[tuple[str, str]]:
    """Return each code's text and symbology identifier.

    ``]C0`` is Code 128, ``]d1`` a Data Matrix, ``]d2`` one by GS1, whose FNC1 is read as ASCII 29.
    Dots become black or white first, as a thermal printer makes them.
    """
    import zxingcpp
    from PIL import Image

    size = (raster.width, raster.height)
    grey = Image.frombytes("L", size, raster.pixels, "raw", "L", raster.stride)
    black = grey.point([0 if level < _DARK_BELOW else 255 for level in range(256)])
    found = zxingcpp.read_barcodes(black)
    return [(code.bytes.decode(), code.symbology_identifier) for code in found]
