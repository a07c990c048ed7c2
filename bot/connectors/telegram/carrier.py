"""The carrier: how the library's calls reach the platform, over aiohttp.

The library brings a carrier of its own over httpx. With that one, half of the processor's time under load went into sending;
aiohttp, which the webhook needs anyway, parses in C and takes a third.
"""

from typing import Final
from urllib.request import getproxies

from aiohttp import ClientError, ClientSession, ClientTimeout, DummyCookieJar, FormData, TCPConnector
from telegram.error import NetworkError, TimedOut
from telegram.request import BaseRequest, RequestData
from typing_extensions import override

CONNECT_S: Final = 5.0
"""How long a connection may take to open. [s]"""

KEPT_S: Final = 5.0
"""How long an idle connection is kept; a call on one that the platform is just closing would be lost. [s]"""

WRITE_S: Final = 5.0
"""How long a call without a file may take to go out. [s]"""


class Carrier(BaseRequest):
    """Connections to the platform.

    Args:
        connections: At most so many at once.
        read_timeout_s: How long the platform may stay silent. [s]
        pool_timeout_s: How long a call may wait for a free connection. [s]
        media_write_timeout_s: How long a call with a file may take to go out. [s]

    """

    def __init__(
        self,
        *,
        connections: int,
        read_timeout_s: float = 5.0,
        pool_timeout_s: float = 10.0,
        media_write_timeout_s: float = 30.0,
    ) -> None:
        self._connections = connections
        self._read_timeout_s = read_timeout_s
        self._pool_timeout_s = pool_timeout_s
        self._media_write_timeout_s = media_write_timeout_s
        self._session: ClientSession | None = None

    @property
    @override
    def read_timeout(self) -> float | None:
        """How long the platform may stay silent. [s]"""
        return self._read_timeout_s

    @override
    async def initialize(self) -> None:
        """Open for calls."""
        if self._session is None or self._session.closed:
            self._session = ClientSession(
                connector=TCPConnector(limit=self._connections, keepalive_timeout=KEPT_S),
                cookie_jar=DummyCookieJar(),
                headers={"User-Agent": self.USER_AGENT},
                # To look for a proxy costs a tenth of a call.
                trust_env=bool(getproxies()),
            )

    @override
    async def shutdown(self) -> None:
        """Let go of connections."""
        if self._session is not None:
            await self._session.close()

    @override
    async def do_request(
        self,
        url: str,
        method: str,
        request_data: RequestData | None = None,
        read_timeout: object = BaseRequest.DEFAULT_NONE,
        write_timeout: object = BaseRequest.DEFAULT_NONE,
        connect_timeout: object = BaseRequest.DEFAULT_NONE,
        pool_timeout: object = BaseRequest.DEFAULT_NONE,
    ) -> tuple[int, bytes]:
        """The status and the body of an answer. Timeouts are in seconds, and this object's where they are not told.

        Raises:
            TimedOut: There was no connection or no answer in time.
            NetworkError: The connection broke.
            RuntimeError: It is not open.

        """
        if self._session is None:
            raise RuntimeError("the carrier is not open")
        has_files = request_data is not None and request_data.contains_files
        connect_s = _seconds(connect_timeout, CONNECT_S)
        pool_s = _seconds(pool_timeout, self._pool_timeout_s)
        read_s = _seconds(read_timeout, self._read_timeout_s)
        write_s = _seconds(write_timeout, self._media_write_timeout_s if has_files else WRITE_S)
        timeout = ClientTimeout(
            total=pool_s + connect_s + write_s + read_s,
            connect=pool_s + connect_s,
            sock_connect=connect_s,
            sock_read=None if has_files else read_s,
        )
        # An error's own words may hold the address, which holds the token.
        try:
            async with self._session.request(
                method, url, data=_form(request_data), timeout=timeout, allow_redirects=False
            ) as answer:
                return answer.status, await answer.read()
        except TimeoutError:
            raise TimedOut from None
        except (ClientError, OSError) as broken:
            raise NetworkError(type(broken).__name__) from None


def _seconds(told: object, otherwise: float) -> float:
    return float(told) if isinstance(told, int | float) else otherwise


def _form(request_data: RequestData | None) -> FormData | dict[str, str] | None:
    if request_data is None:
        return None
    if not request_data.contains_files:
        return request_data.json_parameters
    form = FormData(request_data.json_parameters)
    for name, (filename, content, kind) in request_data.multipart_data.items():
        form.add_field(name, content, filename=filename, content_type=kind)
    return form
