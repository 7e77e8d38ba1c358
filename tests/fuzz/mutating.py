"""Spoilt copies of good files: bytes changed, lost, doubled, and put in that often do harm."""

from __future__ import annotations

import io
import random
import zipfile

HARMFUL = (
    b"../../x",
    b"..\\..\\x",
    b"/etc/passwd",
    b"=1+1",
    b"=cmd|' /C calc'!A0",
    b"__import__('os').system('true')",
    b"!!python/object/apply:os.system [true]",
    b"\x00",
    b"\xff\xfe",
    b"\xed\xa0\x80",
    "\N{RIGHT-TO-LEFT OVERRIDE}".encode(),
    "\N{ARABIC-INDIC DIGIT FIVE}".encode(),
    "\N{VULGAR FRACTION ONE HALF}".encode(),
    b"1,234",
    b"1.234,5",
    b"1e999999999",
    b"-1 g",
    b"1/0",
    b"nan",
    b"inf",
    b"9" * 5000,
    b"[" * 3000,
    b'{"a":' * 500,
    b'"',
    b"'''",
    b"\\",
    b"\r",
    b"\n",
    b";",
    b",",
    b"|",
    b"{}",
    b"null",
    b"true",
    b"&a;",
    b"<!DOCTYPE x [<!ENTITY a 'a'>]>",
    b"9999-99-99",
    b"0001-01-01",
    b"2 x 500 g; 250 g",
    b"999999 x 1 g",
)


def spoilt(data: bytes, chance: random.Random) -> bytes:
    """Return a copy with one to four changes."""
    for _ in range(chance.randint(1, 4)):
        start, end = sorted(chance.randint(0, len(data)) for _ in range(2))
        end = min(end, start + chance.choice((1, 4, 40, 400)))
        put = chance.choice(
            (
                b"",
                chance.choice(HARMFUL),
                chance.randbytes(chance.randint(1, 8)),
                data[start:end] * chance.randint(2, 4),
            )
        )
        data = data[:start] + put + data[chance.choice((start, end)) :]
    return data[: chance.randint(0, len(data))] if chance.random() < 0.1 else data


def spoilt_inside(data: bytes, chance: random.Random) -> bytes:
    """Return a ZIP file of which one part is spoilt, so that it still opens, or itself is."""
    if chance.random() < 0.3:
        return spoilt(data, chance)
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w") as new:
        chosen = chance.choice(old.namelist())
        for name in old.namelist():
            text = old.read(name)
            if name == chosen:
                text = spoilt(text, chance)
                name = chance.choice((name, name, name, "../../x", f"/{name}"))  # noqa: PLW2901
            new.writestr(name, text)
    return out.getvalue()
