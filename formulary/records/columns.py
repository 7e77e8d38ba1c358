"""Column types that lose nothing and that both engines store alike."""

from __future__ import annotations

from datetime import UTC, date, datetime
from fractions import Fraction
from typing import Any

from sqlalchemy import BigInteger, Dialect, Integer, Text, TypeDecorator

from formulary.quantity.writing import exact_text, from_exact_text
from formulary.records.name_key import opened


class Exact(TypeDecorator[Fraction]):
    """An exact number as text; it refuses whatever has lost digits already."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> str | None:  # noqa: ANN401, ARG002
        if value is not None and not isinstance(value, Fraction):
            raise TypeError(f"an exact column takes a Fraction, not {type(value).__name__}")
        return None if value is None else exact_text(value)

    def process_result_value(self, value: Any, dialect: Dialect) -> Fraction | None:  # noqa: ANN401, ARG002
        return None if value is None else from_exact_text(value)


class UtcMoment(TypeDecorator[datetime]):
    """A moment in UTC as ISO text of one length, so that it sorts; the offset stands beside it."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> str | None:  # noqa: ANN401, ARG002
        if value is None:
            return None
        if value.tzinfo is None:
            raise TypeError("a moment is kept with its offset")
        in_utc = value.astimezone(UTC).replace(tzinfo=None)
        return f"{in_utc.isoformat(timespec='microseconds')}Z"

    def process_result_value(self, value: Any, dialect: Dialect) -> datetime | None:  # noqa: ANN401, ARG002
        return None if value is None else datetime.fromisoformat(value)


class IsoDate(TypeDecorator[date]):
    """A calendar day as ISO text."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> str | None:  # noqa: ANN401, ARG002
        return None if value is None else value.isoformat()

    def process_result_value(self, value: Any, dialect: Dialect) -> date | None:  # noqa: ANN401, ARG002
        return None if value is None else date.fromisoformat(value)


class Flag(TypeDecorator[bool]):
    """Yes or no as 1 or 0."""

    impl = Integer
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> int | None:  # noqa: ANN401, ARG002
        return None if value is None else int(value)

    def process_result_value(self, value: Any, dialect: Dialect) -> bool | None:  # noqa: ANN401, ARG002
        return None if value is None else bool(value)


class UnderKey(TypeDecorator[str]):
    """Text that may lie under a key, read as it was written; see :mod:`name_key`.

    Whoever writes puts it under the key of the house.
    """

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> str | None:  # noqa: ANN401, ARG002
        return None if value is None else str(value)

    def process_result_value(self, value: Any, dialect: Dialect) -> str | None:  # noqa: ANN401, ARG002
        return None if value is None else opened(value)


Long = Integer().with_variant(BigInteger(), "postgresql")
"""64 bits on both engines; SQLite's INTEGER has them under that name only."""

ByteOrder = Text().with_variant(Text(collation="C"), "postgresql")
"""Text that both engines sort alike, by code point."""
