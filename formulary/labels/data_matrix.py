"""A jar's code as a Data Matrix, in squares that fall on whole dots of the printer.

By zxing-cpp (Apache-2.0, kept up), which alone of the libraries tried sets FNC1 and the smallest
square. It takes any check digit and any date, so those are looked at in :mod:`.gs1`.
"""

from __future__ import annotations

from functools import lru_cache
from typing import cast

from formulary.errors import BadText
from formulary.labels.gs1 import element_string
from formulary.labels.jar_code import JarCode
from formulary.labels.page import MatrixRun, dot_mm
from formulary.messages import message

# ISO/IEC 16022: one module stays blank on every side.
QUIET_MODULES = 1
# Three dots at 203 per inch, four at 300, nine at 600: two decode in an ideal rendering, but a
# worn head bleeds.
NARROWEST_MODULE_MM = 0.33
_DARK_BELOW = 128
_FEWEST_DOTS = 3
_HAIR = 1e-6


def module_mm(dots_per_inch: int) -> float:
    """Return the side of one module in mm, a whole number of dots."""
    dot = dot_mm(dots_per_inch)
    return max(_FEWEST_DOTS, round(NARROWEST_MODULE_MM / dot)) * dot


def matrix_side_mm(code: JarCode, dots_per_inch: int) -> float:
    """Return the side of the code with its quiet zone."""
    return (len(modules_of(code)) + 2 * QUIET_MODULES) * module_mm(dots_per_inch)


def data_matrix(
    code: JarCode, x_mm: float, y_mm: float, dots_per_inch: int, module: float = 0
) -> MatrixRun:
    """Return the code with its top left corner there, moved to the nearest whole dot.

    ``module`` is the side of one in mm, a whole number of dots, where it isn't the least.
    """
    dot = dot_mm(dots_per_inch)
    left, top = (round(at / dot) * dot for at in (x_mm, y_mm))
    side = module or module_mm(dots_per_inch)
    return MatrixRun(left, top, side, QUIET_MODULES, modules_of(code), code.text)


def largest_module_mm(code: JarCode, room_mm: float, dots_per_inch: int) -> float:
    """Return the largest module whose code has room on whole dots, 0 where even the least hasn't.

    One dot is kept for bringing the code's corner to a whole one.
    """
    dot, modules = dot_mm(dots_per_inch), len(modules_of(code)) + 2 * QUIET_MODULES
    dots = int((room_mm / dot - 1 + _HAIR) / modules)
    return dots * dot if dots * dot >= module_mm(dots_per_inch) - _HAIR * dot else 0.0


@lru_cache(maxsize=4096)
def modules_of(code: JarCode) -> tuple[str, ...]:
    """Return the rows of the code, 1 for a dark module and 0 for a light one.

    Raises :class:`formulary.errors.BadText` for a lot that isn't of plain letters and digits.
    """
    # Loaded with the first label.
    from zxingcpp import BarcodeFormat, create_barcode

    if not code.text.isascii():
        strange = " ".join(sorted({each for each in code.lot if not each.isascii()}))
        said = message("label.lot_not_codable", lot=code.lot, characters=strange)
        raise BadText(said, field="lot")
    if code.gtin:
        element_string(code.fields)
        text = "".join(f"({each}){value}" for each, value in code.fields.items())
    else:
        text = code.text
    made = create_barcode(text, BarcodeFormat.DataMatrix, gs1=bool(code.gtin), forceSquare=True)
    # An image is a buffer, which its stub doesn't say.
    pixels = memoryview(cast("bytes", made.to_image(scale=1, add_quiet_zones=False)))
    rows, columns = pixels.shape or (0, 0)
    return tuple(
        "".join("1" if pixels[row, column] < _DARK_BELOW else "0" for column in range(columns))
        for row in range(rows)
    )
