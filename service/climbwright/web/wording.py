"""Words, gathered."""

from climbwright.web.words.assumed import ASSUMED, assumed_text
from climbwright.web.words.cautions import CAUTIONS, caution_text
from climbwright.web.words.measures import LABELS, MEANINGS
from climbwright.web.words.numbers import measured_pair, number_text, shown, spread_text
from climbwright.web.words.reasons import REASONS

__all__ = [
    "ASSUMED",
    "CAUTIONS",
    "LABELS",
    "MEANINGS",
    "REASONS",
    "assumed_text",
    "caution_text",
    "measured_pair",
    "number_text",
    "shown",
    "spread_text",
]
