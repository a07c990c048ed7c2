"""The way between a bot and its homeserver, on loopback, which a test can make as bad as ways get."""

import asyncio
import json
import re
from collections.abc import AsyncIterator, Callable, Mapping
from contextlib import asynccontextmanager
from dataclasses import dataclass

from aiohttp import ClientSession, web

from bot.connectors.matrix.json_values import Json, list_in, object_in


@dataclass(frozen=True, slots=True)
class Strike:
    """What happens at a request, before or after the homeserver had it."""

    path: re.Pattern[str]
    do: Callable[[], None]
    answered: bool
    holding: bytes


class Way:
    """Passes requests on, as long as it is told nothing else.

    Args:
        homeserver: Where to.

    """

    def __init__(self, homeserver: str) -> None:
        self._homeserver = homeserver
        self._port = 0
        self._runner: web.AppRunner | None = None
        self._session: ClientSession | None = None
        self._refusals: list[tuple[re.Pattern[str], int, Mapping[str, Json]]] = []
        self._held: re.Pattern[str] | None = None
        self._let_go = asyncio.Event()
        self._kept: list[Json] = []
        self._strike: Strike | None = None
        self.keeps_keys = False
        self.passed: list[str] = []
        """Method and path of the requests that the homeserver got."""

    @property
    def url(self) -> str:
        """Where it begins."""
        return f"http://127.0.0.1:{self._port}"

    async def open(self) -> None:
        """Let requests in; again where it was."""
        self._session = ClientSession()
        application = web.Application(client_max_size=100 * 1024 * 1024)
        application.router.add_route("*", "/{path:.*}", self._pass)
        self._runner = web.AppRunner(application, access_log=None, shutdown_timeout=0.1)
        await self._runner.setup()
        site = web.TCPSite(self._runner, "127.0.0.1", self._port)
        await site.start()
        self._port = self._runner.addresses[0][1]

    async def close(self) -> None:
        """Let nothing through; who asks meets a closed port."""
        if self._runner is not None:
            await self._runner.cleanup()
            self._runner = None
        if self._session is not None:
            await self._session.close()
            self._session = None

    def refuse(self, path: str, status: int, *, times: int = 1, **told: Json) -> None:
        """Answer requests like this for the homeserver, so many times."""
        self._refusals += [(re.compile(path), status, told)] * times

    def hold(self, path: str | None) -> None:
        """Leave requests like this without an answer, or none any more."""
        self._held = None if path is None else re.compile(path)
        if path is None:
            self._let_go.set()
        else:
            self._let_go.clear()

    def strike(self, path: str, do: Callable[[], None], *, answered: bool, holding: str = "") -> None:
        """Do something, once, at the next request like this; it gets nothing more.

        Args:
            path: What its method and path look like.
            do: What to do.
            answered: The homeserver has done what was asked, and only its answer is on the way.
            holding: What that answer must hold.

        """
        self._strike = Strike(re.compile(path), do, answered=answered, holding=holding.encode())

    @property
    def strikes(self) -> bool:
        """Whether a strike is still to come."""
        return self._strike is not None

    def _struck(self, told: str, *, answer: bytes | None) -> None:
        strike = self._strike
        if strike is None or not strike.path.search(told) or strike.answered != (answer is not None):
            return
        if answer is None or strike.holding in answer:
            self._strike = None
            strike.do()
            raise web.HTTPServiceUnavailable

    def give_keys(self) -> None:
        """Let the keys through that were kept back, with the next sync that begins."""
        self.keeps_keys = False

    async def _pass(self, request: web.Request) -> web.Response:
        told = f"{request.method} {request.path_qs}"
        for refusal in self._refusals:
            if refusal[0].search(told):
                self._refusals.remove(refusal)
                return web.json_response(dict(refusal[2]), status=refusal[1])
        if self._held is not None and self._held.search(told):
            await self._let_go.wait()
        if self._session is None:
            raise web.HTTPServiceUnavailable
        self._struck(told, answer=None)
        self.passed.append(told)
        # A request that began before keys were let through may be one that nobody waits for any more.
        gives = not self.keeps_keys
        headers = {name: value for name, value in request.headers.items() if name in {"Authorization", "Content-Type"}}
        async with self._session.request(
            request.method, self._homeserver + request.raw_path, data=await request.read(), headers=headers
        ) as answer:
            body = await answer.read()
            self._struck(told, answer=body)
            if "/sync" in request.path and answer.status == 200:
                body = self._without_keys(body, gives=gives)
            return web.Response(body=body, status=answer.status, headers={"Content-Type": answer.content_type})

    def _without_keys(self, body: bytes, *, gives: bool) -> bytes:
        told: Json = json.loads(body)
        events = list(list_in(told, "to_device", "events"))
        if self.keeps_keys:
            self._kept += events
            events = []
        elif self._kept and gives:
            events, self._kept = [*self._kept, *events], []
        else:
            return body
        return json.dumps({**object_in(told), "to_device": {"events": events}}).encode()


@asynccontextmanager
async def way_to(homeserver: str) -> AsyncIterator[Way]:
    """A way that is open at first."""
    way = Way(homeserver)
    await way.open()
    try:
        yield way
    finally:
        await way.close()
