"""A number as a QR code, in squares that fall on whole dots of the printer.

QR by ReportLab, which draws the labels already (BSD licence, kept up since 2000): one library
fewer than Data Matrix would take, and read back in the tests by another one. Level H still reads
with a third of the symbol smeared.
"""

from __future__ import annotations

from functools import lru_cache

from formulary.errors import BadText
from formulary.labels.page import MatrixRun, dot_mm
from formulary.messages import message

# ISO/IEC 18004: four modules stay blank on every side.
QUIET_MODULES = 4
# Three dots at 203 per inch: two decode in an ideal rendering, but a worn head bleeds.
NARROWEST_MODULE_MM = 0.37
_ALLOWED = frozenset("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:")
# Letters and digits that versions 1 to 4 hold at level H (ISO/IEC 18004, table 7).
_HOLDS = {1: 10, 2: 20, 3: 35, 4: 50}


def matrix(data: str, x_mm: float, y_mm: float, dots_per_inch: int) -> MatrixRun:
    """Return the code with its top left corner there, moved to the next whole dot.

    Raises :class:`formulary.errors.BadText` for what a code of capitals and digits can't hold.
    """
    dot = dot_mm(dots_per_inch)
    left, top = (round(at / dot) * dot for at in (x_mm, y_mm))
    return MatrixRun(left, top, _module_mm(dots_per_inch), QUIET_MODULES, modules_of(data), data)


def matrix_side_mm(data: str, dots_per_inch: int) -> float:
    """Return the side of the code with its quiet zones."""
    return (len(modules_of(data)) + 2 * QUIET_MODULES) * _module_mm(dots_per_inch)


@lru_cache(maxsize=1024)
def modules_of(data: str) -> tuple[str, ...]:
    """Return the rows of the code, 1 for a dark module and 0 for a light one."""
    strange = sorted(set(data) - _ALLOWED)
    version = next((each for each, most in _HOLDS.items() if len(data) <= most), 0)
    if strange or not data or not version:
        said = message("label.lot_not_codable", lot=data, characters=" ".join(strange))
        raise BadText(said, field="lot")
    # Loaded with the first label.
    from reportlab.graphics.barcode import qrencoder

    code = qrencoder.QRCode(version, qrencoder.QRErrorCorrectLevel.H)
    code.addData(qrencoder.QRAlphaNum(data))
    code.make()
    return tuple("".join("1" if dark else "0" for dark in row) for row in code.modules)


def _module_mm(dots_per_inch: int) -> float:
    dot = dot_mm(dots_per_inch)
    return max(2, round(NARROWEST_MODULE_MM / dot)) * dot
