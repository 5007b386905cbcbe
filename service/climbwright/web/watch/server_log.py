"""The server's own lines in the form of ours, without what a client sent."""

import logging
from typing import Any

from gunicorn.glogging import Logger  # type: ignore[import-untyped]

from climbwright.web.watch.lines import line, told

__all__ = ["ServerLog"]


class _Lines(logging.Formatter):
    """A record as JSON."""

    def format(self, record: logging.LogRecord) -> str:
        error = record.exc_info[1] if record.exc_info else None
        fields = {"level": record.levelname.lower(), "process": record.process, "text": record.getMessage()}
        return line("server", fields if error is None else fields | told(error)).decode().rstrip("\n")


class ServerLog(Logger):  # type: ignore[misc]
    """The server's log on standard error."""

    def setup(self, cfg: Any) -> None:
        """Give JSON to what the server says, and to what libraries do."""
        super().setup(cfg)
        for handler in self.error_log.handlers:
            handler.setFormatter(_Lines())
        if not logging.root.handlers:
            others = logging.StreamHandler()
            others.setFormatter(_Lines())
            logging.root.addHandler(others)

    def warning(self, msg: Any, *args: Any, **kwargs: Any) -> None:
        """Quote no line of a request that is not HTTP."""
        if str(msg).startswith("Invalid request from"):
            msg, args = "a request that is not HTTP, or too long, was refused", ()
        super().warning(msg, *args, **kwargs)

    def exception(self, msg: Any, *args: Any, **kwargs: Any) -> None:
        """Name no address: its query may be an aeroplane."""
        if str(msg).startswith("Error handling request"):
            msg, args = "an answer was broken off", ()
        super().exception(msg, *args, **kwargs)
