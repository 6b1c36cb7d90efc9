"""How does a tablet know that it talks to this studio: by a certificate of the studio's own?

It is made once for a folder, kept in its hidden folder (the key readable by its owner only), and
signed by itself, so a browser warns; the fingerprint that is printed lets her compare.
Source: RFC 5280 (profile), RFC 8410 is not used: P-256 is read by every browser.
"""

from __future__ import annotations

import ipaddress
import os
import socket
from datetime import UTC, datetime, timedelta
from pathlib import Path

from crossfell.studio.journal import HIDDEN

YEARS = 2


def address_here() -> str:
    """Address of this machine on its network. Errors: OSError when it is on none."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        probe.connect(("192.0.2.1", 9))  # kept for examples (RFC 5737): nothing is sent
        return str(probe.getsockname()[0])


def certificate(folder: Path, address: str) -> tuple[Path, Path, str]:
    """Certificate file, key file and SHA-256 fingerprint for an address; made when missing.

    Errors: OSError when the hidden folder cannot be written.
    """
    hidden = folder / HIDDEN
    hidden.mkdir(exist_ok=True)
    crt, key = hidden / f"share-{address}.crt", hidden / f"share-{address}.key"
    if not (crt.is_file() and key.is_file() and _still_good(crt)):
        _make(crt, key, address)
    return crt, key, fingerprint(crt)


def fingerprint(crt: Path) -> str:
    """SHA-256 of a certificate as browsers show it: pairs of hex digits with colons."""
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes

    made = x509.load_pem_x509_certificate(crt.read_bytes()).fingerprint(hashes.SHA256())
    return ":".join(f"{byte:02X}" for byte in made)


def _still_good(crt: Path) -> bool:
    from cryptography import x509

    try:
        until = x509.load_pem_x509_certificate(crt.read_bytes()).not_valid_after_utc
    except ValueError:
        return False
    return until > datetime.now(UTC) + timedelta(days=2)


def _make(crt: Path, key: Path, address: str) -> None:
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes, serialization
    from cryptography.hazmat.primitives.asymmetric import ec
    from cryptography.x509.oid import NameOID

    private = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Crossfell studio")])
    now = datetime.now(UTC)
    signed = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(private.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))
        .not_valid_after(now + timedelta(days=365 * YEARS))
        .add_extension(
            x509.SubjectAlternativeName([x509.IPAddress(ipaddress.ip_address(address))]), False
        )
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), True)
        .sign(private, hashes.SHA256())
    )
    secret = private.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )
    handle = os.open(key, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    with os.fdopen(handle, "wb") as out:
        os.fchmod(out.fileno(), 0o600)
        out.write(secret)
    crt.write_bytes(signed.public_bytes(serialization.Encoding.PEM))
