"""Settings, all from the environment; a misspelt one is refused at the start."""

import os
from collections.abc import Mapping

__all__ = ["SETTINGS", "read_settings"]

PREFIX = "CLIMBWRIGHT_"

# name: default and what it does
SETTINGS: Mapping[str, tuple[int, str]] = {
    "MAXIMUM_BODY": (1_048_576, "Greatest body of a request. [bytes]"),
    "MAXIMUM_FLEET_BODY": (67_108_864, "Greatest body of a fleet or a season. [bytes]"),
    "MAXIMUM_ROWS": (250_000, "Most rows of a fleet, and hours of a season."),
    "MAXIMUM_FLEETS": (2, "Fleets and seasons that one worker computes at a time; more are asked to come again."),
}


def read_settings(environment: Mapping[str, str] | None = None) -> dict[str, int]:
    """Settings by name, from variables CLIMBWRIGHT_NAME.

    Raises
    ------
    ValueError
        A variable with the prefix that is no setting, or a value that is not a positive whole number.
    """
    given = os.environ if environment is None else environment
    settings = {name: default for name, (default, _) in SETTINGS.items()}
    for variable, value in given.items():
        if not variable.startswith(PREFIX):
            continue
        name = variable[len(PREFIX) :]
        if name not in settings:
            raise ValueError(f"{variable} is no setting: the settings are {', '.join(PREFIX + n for n in settings)}")
        if not (value.isascii() and value.isdigit() and int(value) > 0):
            raise ValueError(f"{variable} must be a positive whole number, not '{value}'")
        settings[name] = int(value)
    return settings
