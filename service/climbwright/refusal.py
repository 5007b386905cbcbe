"""A refusal: the request was understood and cannot be answered; the message is safe to show."""

__all__ = ["Refusal"]


class Refusal(ValueError):
    """Which field, what is wrong with it and what to send instead.

    Parameters
    ----------
    where : str
        JSON Pointer (RFC 6901) of the field within the request.
    message : str
        What is wrong and what to send instead, in words.
    """

    def __init__(self, where: str, message: str) -> None:
        super().__init__(message)
        self.where = where
        self.message = message
