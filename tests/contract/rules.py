"""Refusals by rules that JSON Schema cannot say, which the document says in words.

A request that the document's schemas accept is answered, or refused by physics, or by one of these. None of them speaks
of what a schema can say: a field that is missing or unknown, a type, a word of a few, a unit, the length of a list.
"""

import re

NOT_ANSWERABLE = "/docs#not-answerable"
NOT_UNDERSTOOD = "/docs#not-understood"

# What a refusal says, after its pointer, by the words that the document has for its kind in its answer 422
RULES = {
    "bounds, which depend on the unit": (
        "must be (above|at least|below|at most) ",
        "with its plus_minus the value leaves",
        "the number is (not finite|too large)",
        "a cost is between",
        "the plus_minus of a direction is at most",
    ),
    "one form of several": (
        "send (exactly one|only one|one of) ",
        "send [a-z_]+(, [a-z_]+)* (and|or) ",
        "send [a-z_]+(,| \\(or) ",
        "send load, for example",
        "send [0-9]+ to [0-9]+ legs",
        "a (climb|glide|level|stall|ground-roll|static-thrust|acceleration) measures one of ",
        ".*stands alone: leave",
        "the [a-z ]+ (is|are) (not stated|stated twice|given twice)",
        "given twice",
        "the report already says it",
        "efficiency stands for all speeds",
        "each of the settings says it",
        "the surface has its own",
        "one of the two",
        "pick answers one value",
        "one plain table has no room",
        "errors goes with a GET",
    ),
    "parts that go together": (
        "elevation (is missing|goes only)",
        "[a-z_, ]+ go(es)? (together|with)",
        "a constant-(efficiency|speed) propeller needs it",
        "(a|only a) turbocharged engine",
        "an electric motor has none",
        "this does not go with",
        "does not go with",
        "it names one of settings",
        "only a station with a density",
        "a volume needs the density",
        "an arm goes with",
        "the mean chord's place needs the span",
        "a (glide|acceleration|climb) needs its airspeed",
        "an acceleration needs",
        "send what changes",
        "a wind's direction needs",
        "a season needs the strip's length",
        "qnh needs an elevation",
        "course goes with leg",
        "this field is missing: send track or heading",
        "the option brings a new propeller",
        "'.*' sets this already",
        "the first stall's drag is",
        ".* has no plus_minus: send it as it was answered",
    ),
    "speeds, weights and arms in order": (
        "the aft limit must lie behind",
        "must not lie (above|below)",
        "[a-z_]+ must not lie above",
        "both speeds must rise",
        "the tare is more",
        "an? (climb|glide|acceleration) (ends|does not end)",
        "the greatest value must",
        "the loads follow only for wheels",
        "two corners of the envelope",
        "edges of the envelope",
        "a correlation is symmetric",
    ),
    "names that are unique or lead to something": (
        "'.*' is there already",
        "[a-z ]+ is given twice",
        "'.*' is (not a station|a station without|a tank)",
        "there is (no such (stall|station|option|loading|condition|item|number)|none)",
        "the aeroplane has no such stall",
        "name one of",
        "a number is named twice",
        "observations call the aeroplane",
        "there is no '.*' in this answer",
        "'.*' (is not in this answer|stands in)",
        "this is not one value",
    ),
    "of parts that are not too long": ("the text is longer than",),
    "lists of one length": (
        "lists must be equally long",
        "has [0-9]+ values where",
        "must (be|have) as many rows",
        "'.*' falls in the same hour",
        "'.*': there is no such time",
    ),
    "texts that can be printed": (
        "must not hold control characters",
        "a name must not begin or end with a blank",
    ),
    "reports and packed aircraft that can be read": (
        "the (coded )?report",
        "no air outdoors",
        "no altimeter is set to",
        "the packed aircraft",
    ),
}

# A query, or a row of a table with what is shared, makes the request that is refused as one: each field may be left out
# by itself, and names of columns and parameters are put together of parts.
MADE = (
    "this field is missing",
    "there is no such (field|measure)",
    "'.*' (has no field|has fields of its own|has no fields of its own|holds several|is a list|cannot be put into|:)",
    "'.*': there is no",
    "the members of '",
    "combine=cross needs",
    "a table of conditions goes with",
    "is of the air: send it with the conditions",
    "is no column of",
    "'.*' is a column of the answer",
    "the column has no unit of",
    "this field is a word",
    "a column",
    "the (table|unit|first line|column|list)",
    "a quote is not closed",
    "must be a list of 1 to 100 names",
)

# Fields whose kind another field decides, so that no pattern can know their units
_DECIDED = re.compile(r"/(targets?(/[0-9]+)?|unknown)/(at_least|at_most|equals|least|greatest)")
DECIDED = "units of a kind that another field decides"

_PATTERNS = [re.compile(pattern, re.DOTALL) for patterns in RULES.values() for pattern in patterns]
_OF_THE_MADE = [re.compile(pattern, re.DOTALL) for pattern in MADE]


def unsaid(problem, *, made=False):
    """The first error of a refusal that is by no rule in words; None where each is."""
    rules = _PATTERNS + _OF_THE_MADE * made
    left = [error for error in problem["errors"] if not _DECIDED.fullmatch(error["pointer"])]
    return next((error for error in left if not any(one.match(error["detail"]) for one in rules)), None)
