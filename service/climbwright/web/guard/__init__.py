"""Who may ask, how often, and what a browser may do with what it is answered."""

from climbwright.web.guard.gate import guard

__all__ = ["guard"]
