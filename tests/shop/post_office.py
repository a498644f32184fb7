"""A mail server that listens on this machine and, on cue, refuses, hangs or dies."""

import asyncio
import contextlib
import socket
import ssl
import threading
from collections import Counter, deque
from email import message_from_bytes
from email.message import Message
from types import TracebackType
from typing import Any

from aiosmtpd.smtp import SMTP, AuthResult

DIES = "dies"
HANGS = "hangs"


class _Conversation(SMTP):
    """One connection: does what its cue says at the moment its cue names, and otherwise behaves."""

    def __init__(self, office: "PostOffice") -> None:
        super().__init__(
            office,
            hostname="mail.example",
            ident="at your service",
            tls_context=office.tls,
            authenticator=office.authenticate,
        )
        self.office = office
        self.moment, self.does = office.next_cue()

    async def act(self, moment: str) -> bool:
        """Act on the cue if this is its moment; answers whether the conversation is over or answered."""
        if moment != self.moment:
            return False
        if self.does == DIES:
            self.transport.abort()
        elif self.does == HANGS:
            await self.office.closing.wait()
        else:
            await self.push(self.does)
        return True

    async def _handle_client(self) -> None:
        self.office.open.add(self)
        with contextlib.suppress(ConnectionError):
            if not await self.act("greeting"):
                await super()._handle_client()

    async def smtp_EHLO(self, hostname: str) -> None:
        if not await self.act("ehlo"):
            await super().smtp_EHLO(hostname)

    async def smtp_HELO(self, hostname: str) -> None:
        if not await self.act("ehlo"):
            await super().smtp_HELO(hostname)

    async def smtp_MAIL(self, arg: str | None) -> None:
        if not await self.act("mail"):
            await super().smtp_MAIL(arg)

    async def smtp_RCPT(self, arg: str | None) -> None:
        if not await self.act("rcpt"):
            await super().smtp_RCPT(arg)

    async def smtp_DATA(self, arg: str) -> None:
        if await self.act("data"):
            return
        if self.moment == "middle":
            await self.push("354 go on")
            await self._reader.readline()
            await self.act("middle")
            return
        await super().smtp_DATA(arg)


class PostOffice:
    """Serve while entered, encrypted on demand or from the first byte.

    `cue(moment, does)` decides about the next connection that has no cue yet. Moments: greeting, ehlo,
    mail, rcpt, data, middle (of the data), taken (after the end of the data, the letter being kept),
    end (after it, the letter being dropped). `does` is DIES, HANGS or an answer.
    """

    def __init__(self, tls: ssl.SSLContext | None = None, *, from_the_first_byte: bool = False) -> None:
        self.tls = None if from_the_first_byte else tls
        self._wrapped_in = tls if from_the_first_byte else None
        self.kept: list[Message] = []
        self.receivers: list[str] = []
        self.connections = 0
        self.log_ins: list[tuple[str, str]] = []
        self.open: set[_Conversation] = set()
        self._cues: deque[tuple[str, str]] = deque()
        self._socket = socket.create_server(("127.0.0.1", 0))
        self.port: int = self._socket.getsockname()[1]
        self._ready = threading.Event()
        self._thread = threading.Thread(target=lambda: asyncio.run(self._serve()))

    def cue(self, moment: str, does: str) -> None:
        self._cues.append((moment, does))

    def next_cue(self) -> tuple[str, str]:
        self.connections += 1
        return self._cues.popleft() if self._cues else ("", "")

    def deliveries(self) -> Counter[str]:
        """How often each letter was kept, by its Message-ID."""
        return Counter(str(message["Message-ID"]) for message in self.kept)

    def authenticate(self, _server: Any, _session: Any, _envelope: Any, _how: str, data: Any) -> AuthResult:
        given = (data.login.decode(), data.password.decode())
        self.log_ins.append(given)
        return AuthResult(success=given == ("shop", "a tube wants air"), handled=False)

    async def handle_DATA(self, server: _Conversation, _session: Any, envelope: Any) -> str:
        if server.moment == "end" and await server.act("end"):
            return "" if server.transport is None else "250 that was all"
        self.kept.append(message_from_bytes(envelope.content))
        self.receivers += envelope.rcpt_tos
        if server.moment == "taken" and server.does in {DIES, HANGS}:
            await server.act("taken")
        return server.does if server.moment == "taken" else "250 taken"

    def __enter__(self) -> "PostOffice":
        self._thread.start()
        assert self._ready.wait(30)
        return self

    def __exit__(
        self, _kind: type[BaseException] | None, _error: BaseException | None, _trace: TracebackType | None
    ) -> None:
        self._loop.call_soon_threadsafe(self.closing.set)
        self._thread.join(30)
        assert not self._thread.is_alive()

    async def _serve(self) -> None:
        self._loop, self.closing = asyncio.get_running_loop(), asyncio.Event()
        server = await self._loop.create_server(
            lambda: _Conversation(self), sock=self._socket, ssl=self._wrapped_in
        )
        self._ready.set()
        await self.closing.wait()
        server.close()
        for conversation in self.open:
            if conversation.transport is not None:
                conversation.transport.abort()
        tasks = [each._handler_coroutine for each in self.open]
        await asyncio.gather(*tasks, return_exceptions=True)
        await server.wait_closed()


def closed_port() -> tuple[socket.socket, int]:
    """A port at which nobody listens, held so that nobody else can; close the socket afterwards."""
    held = socket.socket()
    held.bind(("127.0.0.1", 0))
    return held, held.getsockname()[1]
