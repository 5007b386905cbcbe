"""The service with less patience than it has, so that a test need not wait."""

import struct

from climbwright.web import create_app, worker


def hurried():
    """The application; nothing is changed by importing this."""
    worker._WAITED, worker._SLOWEST = 0.5, 10_000_000
    worker._STALLED = struct.pack("ll", 1, 0)
    return create_app()
