"""Which port of an address is free, and answers small things at once?"""

from __future__ import annotations

import socket
from collections.abc import Iterable

HOST = "127.0.0.1"  # this machine, nobody else


def listening_on(host: str, port: int | None, *, others: Iterable[int] = ()) -> socket.socket:
    """A socket on an address: on the port asked for, or else on the first of others that is free.

    Errors: OSError when the port is taken.
    """
    for number in [port] if port is not None else [*others, 0]:
        # named TCP, or the event loop leaves small answers waiting for 40 ms (Nagle's algorithm)
        found = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
        found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            found.bind((host, number))
        except OSError:
            found.close()
            continue
        found.listen(64)
        return found
    raise OSError(f"port {port} is taken; another one can be given with --port")
