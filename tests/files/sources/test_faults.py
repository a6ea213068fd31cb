"""Over https: the connection itself proves what arrives, byte by byte, and who sent it.

Server and the one in between are our own; the certificate is made for the test.
"""

from __future__ import annotations

import shutil
import socket
import subprocess
import threading

import numpy as np
import pytest

from funnelfinder.errors import SourceError
from funnelfinder.files.sources.faults import Fault, WireError, said_text, wire_error
from funnelfinder.files.sources.wire import Patience, Wire
from tests.files.sources.test_bring import NLCD, THIRD, brought, check_heights
from tests.files.sources.world import World

CONTENT = np.random.default_rng(5).bytes(60_000)


class Between:
    """Hands bytes on between a client and a server, and changes or ends what the server says.

    ``at`` is the byte of the server's answers, counted over each connection, that is changed;
    with ``is_cut`` the connection ends there.
    """

    def __init__(self, port: int, *, at: int, is_cut: bool = False, times: int = -1) -> None:
        self._port, self._at, self._is_cut, self._times = port, at, is_cut, times
        self._listener = socket.create_server(("127.0.0.1", 0))
        self.port = self._listener.getsockname()[1]
        threading.Thread(target=self._serve, daemon=True).start()

    def close(self) -> None:
        """Take no more."""
        self._listener.close()

    def _serve(self) -> None:
        while True:
            try:
                client, _ = self._listener.accept()
            except OSError:
                return
            server = socket.create_connection(("127.0.0.1", self._port))
            for pair in ((client, server, False), (server, client, self._times != 0)):
                threading.Thread(target=self._hand_on, args=pair, daemon=True).start()
            self._times -= self._times > 0

    def _hand_on(self, source, target, is_faulty) -> None:
        n_bytes = 0
        with source, target:
            try:
                while data := source.recv(4096):
                    at = self._at - n_bytes
                    n_bytes += len(data)
                    if is_faulty and 0 <= at < len(data):
                        if self._is_cut:
                            target.sendall(data[:at])
                            target.shutdown(socket.SHUT_RDWR)
                            source.shutdown(socket.SHUT_RDWR)
                            return
                        data = data[:at] + bytes([data[at] ^ 0x10]) + data[at + 1 :]
                    target.sendall(data)
                target.shutdown(socket.SHUT_WR)
            except OSError:
                return


@pytest.fixture(scope="module")
def proof(tmp_path_factory):
    """A key with a certificate of its own for the loopback address."""
    if shutil.which("openssl") is None:
        pytest.skip("openssl, which makes the certificate, is not here")
    folder = tmp_path_factory.mktemp("proof")
    subprocess.run(
        [
            *("openssl", "req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256"),
            *("-nodes", "-days", "2", "-subj", "/CN=127.0.0.1"),
            *("-addext", "subjectAltName=IP:127.0.0.1", "-keyout", "key.pem", "-out", "cert.pem"),
        ],
        cwd=folder,
        check=True,
        capture_output=True,
    )
    both = folder / "both.pem"
    both.write_text((folder / "key.pem").read_text() + (folder / "cert.pem").read_text())
    return both


@pytest.fixture
def safe_world(tmp_path, proof, monkeypatch):
    """A world whose server speaks https, and is known here."""
    monkeypatch.setenv("no_proxy", "127.0.0.1")
    monkeypatch.setenv("SSL_CERT_FILE", str(proof.with_name("cert.pem")))
    folder = tmp_path / "world"
    folder.mkdir()
    made = World(folder, proof)
    (folder / "a.bin").write_bytes(CONTENT)
    yield made
    made.close()


def wire(tries=1):
    return Wire(patience=Patience(timeout_s=2.0, tries=tries), pause=lambda seconds: None)


def port_of(world):
    return int(world.host.rpartition(":")[2])


def test_over_https_everything_is_asked_for_once(safe_world, tmp_path):
    safe_world.third()
    safe_world.cover()
    found = brought(safe_world, tmp_path, THIRD, NLCD)
    check_heights(found.grids.elevation)
    asked = safe_world.asked()
    assert len(asked) == len(set(asked))


def test_a_server_that_nobody_vouches_for_is_not_believed(safe_world, monkeypatch):
    monkeypatch.delenv("SSL_CERT_FILE")
    with pytest.raises(WireError, match="could not prove who it is") as told:
        wire().get(f"https://{safe_world.host}/a.bin")
    assert "date of this computer" in told.value.remedy


@pytest.mark.parametrize("is_cut", [False, True])
def test_a_byte_changed_or_cut_on_its_way_is_never_taken(safe_world, is_cut):
    """At forty places of the whole connection, greeting and heads included."""
    told = set()
    for at in np.linspace(0, 58_000, 40).astype(int).tolist():
        between = Between(port_of(safe_world), at=at, is_cut=is_cut)
        try:
            with pytest.raises(WireError) as error:
                wire().get(f"https://127.0.0.1:{between.port}/a.bin")
        finally:
            between.close()
        told.add(error.value.fault)
    assert (Fault.CUT if is_cut else Fault.GARBLED) in told


def test_what_was_changed_once_comes_right_the_second_time(safe_world):
    between = Between(port_of(safe_world), at=20_000, times=1)
    try:
        reply = wire(tries=2).get(f"https://127.0.0.1:{between.port}/a.bin")
    finally:
        between.close()
    assert reply.data == CONTENT


def test_no_way_from_https_to_http(safe_world):
    safe_world.faults({"path": "a.bin", "fault": "unsafe"})
    with pytest.raises(SourceError, match="where we do not go"):
        wire().get(f"https://{safe_world.host}/a.bin")


def test_what_a_server_says_instead_is_quoted_without_its_marks():
    assert said_text(b"<html><body>Closed &amp; gone.</body></html>").startswith("it says: Closed")
    assert said_text(b"<html></html>") == ""
    assert len(said_text(b"word " * 500)) < 120


def test_every_fault_says_what_to_do():
    for fault in Fault:
        error = WireError(fault, where="a.tif")
        assert error.remedy
        assert str(error).startswith(f"a.tif: {fault.value}")


def test_a_foreign_exception_of_any_kind_becomes_a_fault():
    assert wire_error(RuntimeError("?"), "a.tif").fault is Fault.CUT
