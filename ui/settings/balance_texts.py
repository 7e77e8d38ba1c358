"""The register of balances as it is typed: days in ISO 8601, and test weights by their numbers."""

from __future__ import annotations

from datetime import date

from formulary.bench.balance_checks import CheckWeight
from formulary.errors import BadText
from formulary.messages import message
from formulary.quantity.parsing import parse_amount


def day_of(text: str) -> date:
    """Return a typed day such as 2027-03-31. Raises BadText for anything else."""
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        raise BadText(
            message("ui_settings.bad_day", typed=text.strip()), field="calibration_due"
        ) from None


def weights_of(text: str, sign: str) -> tuple[CheckWeight, ...]:
    """Return typed test weights such as "W1: 200 g; W2: 20 g". Raises BadText for anything else."""
    return tuple(_weight(part, sign) for part in text.split(";") if part.strip())


def _weight(part: str, sign: str) -> CheckWeight:
    number, parted, nominal = part.partition(":")
    if not parted or not number.strip():
        raise BadText(message("ui_settings.bad_weight", typed=part.strip()), field="weights")
    return CheckWeight(number.strip(), parse_amount(nominal.strip(), sign))
