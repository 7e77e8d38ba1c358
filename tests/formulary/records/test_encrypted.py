"""Between workstation and server: encrypted, and only with the server that is meant."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import text

from formulary.errors import StoreTrouble
from formulary.records.opening import open_store
from tests.helpers import postgres
from tests.helpers.kept import ACT

Server = tuple[str, Path]


@pytest.fixture(scope="module")
def server(postgres_server: str) -> Iterator[Server]:
    """Run a server that takes nothing else; it is left out where there is none to run."""
    assert postgres_server
    with postgres.encrypted_server() as started:
        yield started


def test_a_formulary_is_worked_in_over_an_encrypted_connection(server: Server) -> None:
    url, certificate = server
    store = open_store(f"{url}&sslmode=verify-full&sslrootcert={certificate}", create=True)
    with store.writing(ACT, "look"):
        pass
    with store._engine.connect() as connection:
        used = text("SELECT ssl FROM pg_stat_ssl WHERE pid = pg_backend_pid()")
        assert connection.execute(used).scalar_one() is True
    store.close()


def test_a_server_with_another_certificate_is_not_trusted(server: Server, tmp_path: Path) -> None:
    other = tmp_path / "other.crt"
    other.write_text("")
    with pytest.raises(StoreTrouble) as refused:
        open_store(f"{server[0]}&sslmode=verify-full&sslrootcert={other}")
    assert refused.value.message.key == "store.trouble.cannot_reach"


def test_a_server_of_another_name_is_not_trusted(server: Server) -> None:
    url, certificate = server
    elsewhere = url.replace("@localhost", "@another.example")
    with pytest.raises(StoreTrouble):
        open_store(f"{elsewhere}&sslmode=verify-full&sslrootcert={certificate}")


def test_without_encryption_the_server_lets_nobody_in(server: Server) -> None:
    with pytest.raises(StoreTrouble):
        open_store(f"{server[0]}&sslmode=disable")
