"""How is the studio started, and how is it opened in the browser?"""

from __future__ import annotations

import asyncio
import secrets
import socket
import sys
import threading
import webbrowser
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from crossfell.loomside.listening import HOST, listening_on

if TYPE_CHECKING:
    import uvicorn
    from starlette.types import ASGIApp

PORTS = range(8765, 8775)  # tried in turn, before any that is free
SWITCH_S = 0.0005  # a long computation lets a short answer pass after this, not after 5 ms


def run_studio(
    root: Path,
    *,
    said: Callable[[str], None],
    port: int | None = None,
    open_browser: bool = True,
    share: bool = False,
) -> None:
    """Serve the studio of a folder until it is stopped: on this machine, and shared if asked.

    Errors: OSError when the folder cannot be written, a port is taken, or there is no network.
    """
    from crossfell.studio.app import bare_studio
    from crossfell.studio.guard import ByAddress, Guard, door

    sys.setswitchinterval(SWITCH_S)
    listening = listening_on(HOST, port, others=PORTS)
    number = int(listening.getsockname()[1])
    secret = secrets.token_urlsafe(24)
    bare = bare_studio(root)
    address = f"http://{HOST}:{number}/?key={secret}"
    said(f"The studio of {root} is open at\n\n  {address}\n")
    servers = [(_server(Guard(bare, door(number), ByAddress(secret))), listening)]
    if share:
        servers.append(_shared(bare, root, said))
    else:
        said("Only this machine can reach it, and only with this address. Ctrl+C closes it.")
    if open_browser:
        threading.Timer(0.4, webbrowser.open, (address,)).start()
    asyncio.run(_all_until_one_ends(servers))


def _shared(
    bare: ASGIApp, root: Path, said: Callable[[str], None]
) -> tuple[uvicorn.Server, socket.socket]:
    """A second door, for tablets on the same network: TLS, and a code that is typed once."""
    from crossfell.studio.certificate import address_here, certificate
    from crossfell.studio.guard import Door, Guard
    from crossfell.studio.pairing import Pairing

    here = address_here()
    crt, key, fingerprint = certificate(root, here)
    listening = listening_on(here, None, others=PORTS)
    host = f"{here}:{listening.getsockname()[1]}"
    said(
        f"Shared on this network at\n\n  https://{host}/\n\n"
        "What that means: everyone on this network can reach that page, but only who types the\n"
        "code below gets in, once, and can then read and change the drafts of this folder until\n"
        "the studio is closed. The tablet warns of a certificate that it does not know: it is\n"
        f"this studio's own. Go on only if its SHA-256 fingerprint is\n\n  {fingerprint}\n"
    )
    door = Door(frozenset({host}), scheme="https")
    return _server(Guard(bare, door, Pairing(said)), crt=crt, key=key), listening


def _server(app: ASGIApp, *, crt: Path | None = None, key: Path | None = None) -> uvicorn.Server:
    import uvicorn

    config = uvicorn.Config(
        app,
        log_level="warning",
        ws="websockets-sansio",
        ws_per_message_deflate=False,
        timeout_graceful_shutdown=1,
        server_header=False,
        date_header=False,
        lifespan="off" if crt else "on",  # the second door opens onto the same rooms
        ssl_certfile=crt,
        ssl_keyfile=key,
    )
    return uvicorn.Server(config)


async def _all_until_one_ends(servers: list[tuple[uvicorn.Server, socket.socket]]) -> None:
    tasks = [asyncio.create_task(server.serve(sockets=[on])) for server, on in servers]
    await asyncio.wait(tasks, return_when=asyncio.FIRST_COMPLETED)
    for server, _ in servers:
        server.should_exit = True
    await asyncio.gather(*tasks)
