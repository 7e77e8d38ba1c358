"""The key of names: made once, copied, taken over; what it was before stays readable."""

from __future__ import annotations

import stat
from pathlib import Path

import pytest

from formulary.errors import BadText, StoreTrouble
from formulary.messages import message
from formulary.names_key import (
    KeyMissing,
    copy_key,
    ensure_key,
    has_key,
    is_copied,
    key_file,
    opened,
    taken_key,
    under_key,
)

NAME = "Ottoline Zimtsternchen"


@pytest.fixture
def of_others(tmp_path: Path) -> Path:
    """Return a copy of the key of another computer, with none on this one."""
    copy = tmp_path / "brought.txt"
    ensure_key()
    copy_key(copy)
    key_file().unlink()
    return copy


def test_a_key_is_made_once_for_its_owner_alone() -> None:
    assert not has_key()
    assert under_key(NAME) == NAME
    first = ensure_key().read_bytes()
    assert ensure_key().read_bytes() == first
    assert stat.S_IMODE(key_file().stat().st_mode) == 0o600
    kept = under_key(NAME)
    assert "Zimt" not in kept
    assert opened(kept) == NAME


def test_the_same_name_is_never_kept_alike_twice() -> None:
    ensure_key()
    assert under_key(NAME) != under_key(NAME)


def test_without_its_key_a_name_is_closed_and_what_is_readable_stays_so() -> None:
    ensure_key()
    kept = under_key(NAME)
    key_file().unlink()
    with pytest.raises(KeyMissing):
        opened(kept)
    ensure_key()
    with pytest.raises(KeyMissing):
        opened(kept)
    assert opened(NAME) == NAME


def test_a_key_taken_over_reads_and_keeps_names_beside_the_one_that_was_there(
    of_others: Path,
) -> None:
    ensure_key()
    before = under_key(NAME)
    with taken_key(of_others):
        pass
    assert opened(before) == NAME
    assert is_copied()
    after = under_key(NAME)
    key_file().unlink()
    with taken_key(of_others):
        pass
    assert opened(after) == NAME
    with pytest.raises(KeyMissing):
        opened(before)


@pytest.mark.parametrize("had_one", [True, False])
def test_where_the_key_proves_wrong_all_is_as_it_was(of_others: Path, had_one: bool) -> None:  # noqa: FBT001
    before = ensure_key().read_bytes() if had_one else None
    with pytest.raises(KeyMissing), taken_key(of_others):
        raise KeyMissing(message("store.names.no_key", place=""))
    assert has_key() == had_one
    assert not had_one or key_file().read_bytes() == before


@pytest.mark.parametrize("text", ["", "# a comment\n", "AGE-SECRET-KEY-1QQQ", "a list of jars"])
def test_a_file_without_a_key_is_refused(tmp_path: Path, text: str) -> None:
    place = tmp_path / "list.txt"
    place.write_text(text, "utf-8")
    with pytest.raises(BadText) as refused, taken_key(place):
        pass
    assert refused.value.message.key == "store.names.no_key_in"
    assert not has_key()


def test_a_key_made_anew_has_no_copy_yet(tmp_path: Path) -> None:
    ensure_key()
    copy_key(tmp_path / "copy.txt")
    assert is_copied()
    key_file().unlink()
    assert not is_copied()
    ensure_key()
    assert not is_copied()


def test_where_it_cannot_be_copied_a_sentence_says_why(tmp_path: Path) -> None:
    ensure_key()
    (tmp_path / "a file").write_text("")
    with pytest.raises(StoreTrouble) as refused:
        copy_key(tmp_path / "a file" / "copy.txt")
    assert refused.value.message.key == "store.names.cannot_write"
    assert not is_copied()
