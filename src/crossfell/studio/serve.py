"""How is the studio started, and how is it opened in the browser?"""

from __future__ import annotations

import secrets
import socket
import threading
import webbrowser
from collections.abc import Callable
from pathlib import Path

HOST = "127.0.0.1"
FIRST_PORT = 8765


def run_studio(
    root: Path, *, port: int | None = None, open_browser: bool = True, said: Callable[[str], None]
) -> None:
    """Serve the studio of a folder on this machine until it is stopped.

    Errors: OSError when the folder cannot be written or the port is taken.
    """
    import uvicorn

    from crossfell.studio.app import studio
    from crossfell.studio.guard import door

    listening = _listening(port)
    number = int(listening.getsockname()[1])
    secret = secrets.token_urlsafe(24)
    app = studio(root, door(number, secret))
    address = f"http://{HOST}:{number}/?key={secret}"
    said(f"The studio of {root} is open at\n\n  {address}\n")
    said("Only this machine can reach it, and only with this address. Ctrl+C closes it.")
    server = uvicorn.Server(
        uvicorn.Config(
            app,
            log_level="warning",
            ws="websockets-sansio",
            ws_per_message_deflate=False,
            timeout_graceful_shutdown=1,
            server_header=False,
            date_header=False,
        )
    )
    if open_browser:
        threading.Timer(0.4, webbrowser.open, (address,)).start()
    server.run(sockets=[listening])


def _listening(port: int | None) -> socket.socket:
    """A socket on the loopback: on the port asked for, else the first that is free."""
    tries = [port] if port is not None else [*range(FIRST_PORT, FIRST_PORT + 10), 0]
    for number in tries:
        # named TCP, or the event loop leaves small answers waiting for 40 ms (Nagle's algorithm)
        found = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
        found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            found.bind((HOST, number))
        except OSError:
            found.close()
            continue
        found.listen(64)
        return found
    raise OSError(f"port {port} is taken; another one can be given with --port")
