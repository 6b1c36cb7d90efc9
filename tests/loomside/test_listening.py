"""A small answer goes out at once, and a port that is taken says so."""

import asyncio
import socket

import pytest

from crossfell.loomside.listening import HOST, listening_on


def test_an_event_loop_sends_small_answers_at_once():
    """RFC 896 (Nagle) is switched off on what is accepted: TCP_NODELAY, RFC 1122 4.2.3.4."""

    async def flag():
        seen = asyncio.get_running_loop().create_future()

        async def accepted(_, writer):
            own = writer.get_extra_info("socket")
            seen.set_result(own.getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY))
            writer.close()

        server = await asyncio.start_server(accepted, sock=listening_on(HOST, 0))
        async with server:
            _, writer = await asyncio.open_connection(*server.sockets[0].getsockname())
            try:
                return await seen
            finally:
                writer.close()

    assert asyncio.run(flag()) == 1


def test_a_port_that_is_taken_is_told_and_the_next_one_is_tried():
    with listening_on(HOST, 0) as first:
        port = first.getsockname()[1]
        with pytest.raises(OSError, match=f"port {port} is taken"):
            listening_on(HOST, port)
        with listening_on(HOST, None, others=[port]) as other:
            assert other.getsockname()[1] != port
