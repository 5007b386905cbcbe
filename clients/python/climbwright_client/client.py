"""The clients: one that waits for its answers, one to be awaited."""

import asyncio
import time
from collections.abc import Mapping
from types import TracebackType
from typing import Any, Self

import httpx

from climbwright_client.asking import Call, address_of, call_of, decoded, finished, timeout_of
from climbwright_client.fleet import AsyncFleets, Fleets
from climbwright_client.operations import AsyncOperations, Operations
from climbwright_client.retrying import Retry

__all__ = ["AsyncClimbwright", "Climbwright"]

ADDRESS = "http://127.0.0.1:8000"
_TEXTS = {"text": "text/plain", "csv": "text/csv", "json": "application/json"}


class Climbwright(Operations, Fleets):
    """Asks a climbwright service; to be used in a `with`, or closed with `close()`.

    Parameters
    ----------
    address : str
        Where the service is.
    timeout : float
        How long to wait for the next part of an answer. [s]
    retry : Retry
        When a request is sent again.
    transport : httpx.BaseTransport, optional
        In place of the network: `httpx.WSGITransport(app)` asks a service in the same process.
    headers : mapping, optional
        Further headers of every request.
    """

    def __init__(
        self,
        address: str = ADDRESS,
        *,
        timeout: float = 60.0,
        retry: Retry = Retry(),  # noqa: B008  # it cannot change
        transport: httpx.BaseTransport | None = None,
        headers: Mapping[str, str] | None = None,
    ) -> None:
        self.address, self.retry = address_of(address), retry
        self._sleep = time.sleep
        self._http = httpx.Client(
            base_url=self.address, timeout=timeout_of(timeout), transport=transport, headers=headers
        )

    def ask(self, operation: str, request: Mapping[str, Any], /, **options: Any) -> Any:
        """The answer of an operation by its name, for requests that are read from a file.

        Parameters
        ----------
        operation : str
            As in its path: "climb-estimate".
        request : mapping
            Its fields.
        **options
            Options of the answer: units, working, spread; of a fleet also measures, combine, cautions and cost.

        Raises
        ------
        ClimbwrightError
            It is refused, or no answer came.
        """
        return decoded(self._send(call_of(operation, request, options)))

    def text(self, operation: str, request: Mapping[str, Any], /, *, format: str | None = None, **options: Any) -> str:
        """The answer of an operation as the service prints it.

        Parameters
        ----------
        operation, request
            As in `ask`.
        format : str, optional
            "text", which is meant where it is left out, "csv" or "json".
        **options
            As in `ask`; `pick="takeoff_distance"` answers that value alone.
        """
        return self._send(
            call_of(operation, request, {"format": format} | options, _TEXTS.get(format or "text", "text/plain"))
        ).text

    def ready(self) -> Any:
        """Whether the service is ready, and its build."""
        return decoded(self._send(Call("/health/ready")))

    def close(self) -> None:
        """Close the connections."""
        self._http.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def _send(self, call: Call) -> httpx.Response:
        made = 0
        while True:
            outcome: httpx.Response | httpx.RequestError
            try:
                outcome = self._http.send(call.request(self._http))
            except httpx.RequestError as error:
                outcome = error
            made += 1
            wait = self.retry.wait(made, outcome)
            if wait is None:
                return finished(outcome, call, self.address)
            self._sleep(wait)


class AsyncClimbwright(AsyncOperations, AsyncFleets):
    """Asks a climbwright service from asyncio; to be used in an `async with`, or closed with `await aclose()`.

    Parameters are those of `Climbwright`, with an asynchronous transport.
    """

    def __init__(
        self,
        address: str = ADDRESS,
        *,
        timeout: float = 60.0,
        retry: Retry = Retry(),  # noqa: B008  # it cannot change
        transport: httpx.AsyncBaseTransport | None = None,
        headers: Mapping[str, str] | None = None,
    ) -> None:
        self.address, self.retry = address_of(address), retry
        self._sleep = asyncio.sleep
        self._http = httpx.AsyncClient(
            base_url=self.address, timeout=timeout_of(timeout), transport=transport, headers=headers
        )

    async def ask(self, operation: str, request: Mapping[str, Any], /, **options: Any) -> Any:
        """As `Climbwright.ask`."""
        return decoded(await self._send(call_of(operation, request, options)))

    async def text(
        self, operation: str, request: Mapping[str, Any], /, *, format: str | None = None, **options: Any
    ) -> str:
        """As `Climbwright.text`."""
        call = call_of(operation, request, {"format": format} | options, _TEXTS.get(format or "text", "text/plain"))
        return (await self._send(call)).text

    async def ready(self) -> Any:
        """Whether the service is ready, and its build."""
        return decoded(await self._send(Call("/health/ready")))

    async def aclose(self) -> None:
        """Close the connections."""
        await self._http.aclose()

    async def __aenter__(self) -> Self:
        return self

    async def __aexit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        await self.aclose()

    async def _send(self, call: Call) -> httpx.Response:
        made = 0
        while True:
            outcome: httpx.Response | httpx.RequestError
            try:
                outcome = await self._http.send(call.request(self._http))
            except httpx.RequestError as error:
                outcome = error
            made += 1
            wait = self.retry.wait(made, outcome)
            if wait is None:
                return finished(outcome, call, self.address)
            await self._sleep(wait)
