"""The one way in which the command says no."""

import click

__all__ = ["Refused"]


class Refused(click.ClickException):
    """What is wrong and what to send instead, in one line; the command ends with 1.

    Parameters
    ----------
    message : str
        Safe to show. Pickles as it is, so that it comes back from another process whole.
    """

    def __init__(self, message: str) -> None:
        super().__init__(" ".join(message.split()))
