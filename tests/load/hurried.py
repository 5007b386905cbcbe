"""The service with less patience than it has, so that a test need not wait."""

from climbwright.web import create_app, worker

worker._WAITED = 0.5
app = create_app()
