"""A disk of a few megabytes that can run full and be made read-only, where the system lets us."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

MEGABYTE = 1 << 20


def mount(*arguments: str) -> bool:
    """Mount something; False where this user, or this system, may not."""
    if not sys.platform.startswith("linux") or os.geteuid() != 0:
        return False
    return subprocess.run(["mount", *arguments], check=False, capture_output=True).returncode == 0


@contextmanager
def small_disk(folder: Path, size: int) -> Iterator[bool]:
    """Lay an empty disk of so many bytes over a folder; yield False where that isn't allowed."""
    mounted = mount("-t", "tmpfs", "-o", f"size={size}", "misce-test", str(folder))
    try:
        yield mounted
    finally:
        if mounted:
            subprocess.run(["umount", "--lazy", str(folder)], check=True)


@contextmanager
def read_only(folder: Path, *, mounted: bool) -> Iterator[None]:
    """Let nothing be written in a folder: its disk, or where it has none of its own the folder."""
    files = [each for each in folder.iterdir() if each.is_file()]
    if mounted:
        assert mount("-o", "remount,ro", str(folder))
    else:
        for each in files:
            each.chmod(0o400)
        folder.chmod(0o500)
    try:
        yield
    finally:
        if mounted:
            assert mount("-o", "remount,rw", str(folder))
        else:
            folder.chmod(0o700)
            for each in files:
                each.chmod(0o600)
