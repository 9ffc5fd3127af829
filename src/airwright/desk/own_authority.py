"""HTTPS at home: the studio's own authority, and a certificate for this machine.

Phones keep pages for a day without a network only when they came by HTTPS. The authority is made
once and lies in the data folder; whoever installs its certificate on a phone trusts the desk, and
only what this machine has signed. Its key never leaves the folder.
"""

from __future__ import annotations

import os
import socket
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Certificate:
    """Files in PEM form.

    Attributes:
        authority: for phones to install.
        certificate, key: for the server.
    """

    authority: Path
    certificate: Path
    key: Path


def data_folder() -> Path:
    """Where the studio's own files lie."""
    from platformdirs import user_data_path

    return Path(user_data_path("airwright", appauthor=False))


def certificate_for(folder: Path, host: str, names: tuple[str, ...]) -> Certificate:
    """A new certificate for this machine, signed by the studio's authority.

    Args:
        folder: where the authority lies, or is made.
        host: the address that is listened on.
        names: further names it is reached under.
    """
    import trustme

    folder.mkdir(parents=True, exist_ok=True)
    authority, authority_key = folder / "authority.pem", folder / "authority-key.pem"
    if authority.is_file() and authority_key.is_file():
        signer = trustme.CA.from_pem(authority.read_bytes(), authority_key.read_bytes())
    else:
        signer = trustme.CA(organization_name="Airwright", organization_unit_name="Own studio")
        _write_private(authority_key, signer.private_key_pem.bytes())
        authority.write_bytes(signer.cert_pem.bytes())
    signed = signer.issue_cert(*_reached_as(host, names))
    chain = b"".join(part.bytes() for part in signed.cert_chain_pems)
    certificate, key = folder / "desk-certificate.pem", folder / "desk-key.pem"
    certificate.write_bytes(chain)
    _write_private(key, signed.private_key_pem.bytes())
    return Certificate(authority, certificate, key)


def _reached_as(host: str, names: tuple[str, ...]) -> list[str]:
    found = ["localhost", "127.0.0.1", *names]
    if host not in ("", "0.0.0.0", "::"):
        found.append(host)
    else:
        found += [socket.gethostname(), *_own_addresses()]
    return list(dict.fromkeys(name for name in found if name))


def _own_addresses() -> list[str]:
    try:
        rows = socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)
    except OSError:
        return []
    return [str(row[4][0]) for row in rows]


def _write_private(path: Path, data: bytes) -> None:
    handle = os.open(path, os.O_CREAT | os.O_WRONLY | os.O_TRUNC, 0o600)
    with os.fdopen(handle, "wb") as file:
        file.write(data)
