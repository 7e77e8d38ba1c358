"""The kinds of quantity that a formula line can have, each with one meaning.

Two traps of the trade decide the names. "ad 100" makes a final amount, "100" alone adds 100; and
"aa 10" gives each of its lines 10, while "aa ad 100" shares what is left to 100 among them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from formulary.quantity.amount import Amount, Concentration, OneIn, Parts


@dataclass(frozen=True, slots=True)
class Fixed:
    """This much in the formula as written ("10 g", "3 drops"); with ``each`` written "aa 10 g"."""

    amount: Amount
    each: bool = False


@dataclass(frozen=True, slots=True)
class Share:
    """A strength in the whole: "5 % w/w", "2 mg/mL", "1 in 1000 w/v"."""

    strength: Concentration | OneIn


@dataclass(frozen=True, slots=True)
class InParts:
    """So many parts of the sum of all parts ("3 parts")."""

    parts: Parts


@dataclass(frozen=True, slots=True)
class PerUnit:
    """This much in every dose unit ("300 mg per unit", from "d.t.d. no. 20")."""

    amount: Amount


@dataclass(frozen=True, slots=True)
class ToTotal:
    """As much as makes the whole up to ``total`` ("ad 100 g"; of several such lines, equal shares).

    Lines with the same ``total`` and ``shared`` set divide what is left equally ("aa ad 100 g").
    """

    total: Amount
    shared: bool = False


@dataclass(frozen=True, slots=True)
class ToEndPoint:
    """As much as reaches an end point ("q.s. to pH 5.5"); what was used is recorded then.

    ``about`` is the amount usually needed for the formula as written, if known; it enters the sum.
    """

    end_point: str
    about: Amount | None = None


@dataclass(frozen=True, slots=True)
class ToFill:
    """As much as fills the mould or the capsule beside what else is in it ("q.s. to fill")."""


Kind: TypeAlias = Fixed | Share | InParts | PerUnit | ToTotal | ToEndPoint | ToFill
