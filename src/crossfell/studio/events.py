"""How does every open window learn that something changed?

A WebSocket carries small events, `{"event": "piece", "piece": …, "revision": …}`; what is shown
is then asked for. A watcher looks at the files, so that changes by other programs are seen too.
"""

from __future__ import annotations

import asyncio
import contextlib
from typing import Any

import anyio.to_thread
from starlette.websockets import WebSocket, WebSocketDisconnect

from crossfell.studio.desk import Desk

LOOK_EVERY_S = 0.4
MOST_WAITING = 100


class Hub:
    """Windows that listen."""

    def __init__(self) -> None:
        self._queues: set[asyncio.Queue[dict[str, Any]]] = set()
        self._loop: asyncio.AbstractEventLoop | None = None

    def tell(self, event: dict[str, Any]) -> None:
        """Tell every window; may be called from any thread."""
        if self._loop is not None and not self._loop.is_closed():
            self._loop.call_soon_threadsafe(self._spread, event)

    def _spread(self, event: dict[str, Any]) -> None:
        for queue in self._queues:
            if queue.full():
                queue.get_nowait()
            queue.put_nowait(event)

    async def listen(self, socket: WebSocket) -> None:
        """Serve one window until it goes."""
        self._loop = asyncio.get_running_loop()
        await socket.accept()
        queue: asyncio.Queue[dict[str, Any]] = asyncio.Queue(MOST_WAITING)
        self._queues.add(queue)
        sending = asyncio.create_task(_send_all(socket, queue))
        try:
            while True:
                await socket.receive_text()
        except WebSocketDisconnect:
            pass
        finally:
            self._queues.discard(queue)
            sending.cancel()
            with contextlib.suppress(asyncio.CancelledError, WebSocketDisconnect, RuntimeError):
                await sending

    async def watch(self, desk: Desk) -> None:
        """Look at the files again and again."""
        self._loop = asyncio.get_running_loop()
        names = await anyio.to_thread.run_sync(desk.folder.drafts)
        while True:
            await asyncio.sleep(LOOK_EVERY_S)
            for draft in desk.opened():
                if await anyio.to_thread.run_sync(draft.look):
                    revision = draft.state.revision
                    self.tell({"event": "piece", "piece": draft.name, "revision": revision,
                               "by": "another program"})  # fmt: skip
            now = await anyio.to_thread.run_sync(desk.folder.drafts)
            if now.keys() != names.keys():
                names = now
                self.tell({"event": "pieces"})


async def _send_all(socket: WebSocket, queue: asyncio.Queue[dict[str, Any]]) -> None:
    while True:
        await socket.send_json(await queue.get())
