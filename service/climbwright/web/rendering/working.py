"""The shown calculation as JSON and as text: each step with its numbers put in.

Steps are gathered here by what they hold for; `working_steps` writes them.
"""

import re
import textwrap
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import orjson

from climbwright.answers.comparison import Answer
from climbwright.answers.working.aeroplane import Working
from climbwright.answers.working.step import Step
from climbwright.web.rendering.quantities import Units
from climbwright.web.rendering.working_steps import Block, Known, Writer
from climbwright.web.working_words import SI

__all__ = ["blocks_json", "named_json", "one_block_json", "steps_json", "steps_text", "worked_json"]

_WIDTH = 78
_SPACE, _SLASH = "\x00", "\x01"  # stand in for those of a unit while a line is broken
_UNIT_WORDS = "|".join(re.escape(unit) for unit in sorted({*SI.values()} - {""}, key=len, reverse=True))
_WITH_UNIT = re.compile(rf"(?<=[0-9.]) (?:{_UNIT_WORDS})(?![A-Za-z0-9])")
_BETWEEN = re.compile(r"(?<=[*/ ])(?=[^*/ ])")


def steps_json(steps: Sequence[Step], units: Units) -> orjson.Fragment:
    """Steps with single numbers, in order.

    Parameters
    ----------
    steps : sequence of Step
        Of one calculation.
    units : Units
        The reader's.

    Returns
    -------
    orjson.Fragment
        A list, which stands in an answer as it is.
    """
    ((shown,),) = Writer(units).texts([Block([*steps], (1, 1, 1), {})])
    return orjson.Fragment(f"[{shown}]")


def one_block_json(answer: Answer, units: Units) -> orjson.Fragment:
    """The steps of an answer with one aeroplane, one loading and one condition, as a list."""
    steps = [step for part in answer.working or () for step in part.steps]
    return steps_json(steps, units)


def named_json(what: str, working: Mapping[str | None, Sequence[Step]], units: Units) -> list[dict[str, Any]]:
    """The steps of several calculations with single numbers, each by its name.

    Parameters
    ----------
    what : str
        What the names are of.
    working : mapping of str to sequence of Step
        By name; None for what holds for all.
    units : Units
        The reader's.

    Returns
    -------
    list of dict
        Each with `steps`, a text of one step and more, and its name.
    """
    whole = {name: [*steps] for name, steps in working.items() if steps}
    texts = Writer(units).texts([Block(steps, (1, 1, 1), {}) for steps in whole.values()])
    return [
        ({} if name is None else {what: name}) | {"steps": [orjson.Fragment(text)]}
        for name, (text,) in zip(whole, texts, strict=True)
    ]


def worked_json(answer: Answer, units: Units, named: str = "option") -> dict[str, Any]:
    """The working of an aeroplane answer as a member of it; nothing where it was not asked for.

    Parameters
    ----------
    answer : Answer
        Of a performance, a comparison, or whatever rests on one.
    units : Units
        The reader's.
    named : str
        As `blocks_json`.
    """
    if answer.working is None:
        return {}
    options = [option.name for option in answer.options]
    return {"working": blocks_json(answer.working, options, answer.loadings, answer.conditions, units, named)}


def blocks_json(
    working: Sequence[Working],
    options: Sequence[str],
    loadings: Sequence[str],
    conditions: Sequence[str],
    units: Units,
    named: str = "option",
) -> list[dict[str, Any]]:
    """The steps of an aeroplane answer, gathered by what they hold for.

    Parameters
    ----------
    working : sequence of Working
        As answered.
    options, loadings, conditions : sequence of str
        Their names.
    units : Units
        The reader's.
    named : str
        What an option is: an ``option`` before and after which the aeroplane is seen, or a ``setting`` of it.

    Returns
    -------
    list of dict
        Each with `steps`, texts of one step and more, and with the option (and when: before or after it), the loading
        and the condition that they hold for; what is left out does not matter for them, and they hold for each.
    """
    blocks: dict[tuple[int, int, int], list[str]] = {}
    known: dict[tuple[int, bool, bool], Known] = {}
    scenes = len(options), len(loadings), len(conditions)
    placed: list[tuple[Working, Block]] = []
    for number, part in enumerate(working):
        aircraft = 1 if part.aircraft is None else len(part.aircraft)
        shapes: dict[tuple[int, int], list[Step]] = {}
        alike: dict[tuple[int, ...], list[Step]] = {}
        for step in part.steps:
            steps = alike.get(step.value.shape)
            if steps is None:
                steps = alike[step.value.shape] = shapes.setdefault((1, 1, *step.value.shape)[-2:], [])
            steps.append(step)
        for shape, steps in shapes.items():
            told = known.setdefault((number if options else 0, shape[0] > 1, _by_condition(part, shape)), {})
            placed.append((part, Block(steps, (aircraft, *shape), told)))
    for (part, block), texts in zip(placed, Writer(units).texts([block for _, block in placed]), strict=True):
        for target, text in zip(_targets(blocks, part, block.shape[1:], scenes), texts, strict=True):
            if text:
                target.append(text)
    shown = []
    for (k, i, j), written in sorted(blocks.items()):
        if not written:
            continue
        head: dict[str, Any] = {}
        if options and k >= 0 and named == "option":
            head = {"when": "before"} if k == 0 else {"option": options[k - 1], "when": "after"}
        elif options and k > 0:
            head = {named: options[k - 1]}
        elif options and k == 0:
            continue  # the aeroplane as it is set stands among its settings
        if i >= 0:
            head["loading"] = loadings[i]
        if j >= 0:
            head["condition"] = conditions[j]
        shown.append(head | {"steps": [orjson.Fragment(text) for text in written]})
    return shown


def _by_condition(part: Working, shape: tuple[int, int]) -> bool:
    return shape[1] > 1 or part.condition is not None


def _targets(
    blocks: dict[tuple[int, int, int], list[str]], part: Working, shape: tuple[int, int], scenes: tuple[int, int, int]
) -> list[list[str]]:
    """The block of every place of numbers of a shape; -1 stands for all."""
    options, loadings, conditions = scenes
    aircraft = (-1 if options else 0,) if part.aircraft is None else part.aircraft
    rows: Sequence[int] = range(shape[0]) if shape[0] > 1 else (0 if loadings == 1 else -1,)
    columns: Sequence[int] = range(shape[1]) if shape[1] > 1 else (0 if conditions == 1 else -1,)
    if part.condition is not None:
        columns = (part.condition,)
    return [blocks.setdefault((k, i, j), []) for k in aircraft for i in rows for j in columns]


def steps_text(working: orjson.Fragment | list[dict[str, Any]]) -> list[str]:
    """Steps as lines of a page; a list of steps, or of scenes with theirs."""
    read: list[dict[str, Any]] = orjson.loads(orjson.dumps(working))
    lines = ["", "Working"]
    if read and "steps" not in read[0]:
        return [*lines, *_lines(read)]
    for scene in read:
        heads = [str(scene[name]) for name in scene if name != "steps"]
        lines += ["", *_wrapped(", ".join(heads) or "for all", "", "  "), *_lines(scene["steps"])]
    return lines


def _wrapped(text: str, first: str, rest: str) -> list[str]:
    return textwrap.wrap(text, _WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False)


def _calculation(text: str) -> list[str]:
    """A line with numbers put in, broken between them and never between a number and its unit."""
    whole = _WITH_UNIT.sub(lambda match: match[0].replace(" ", _SPACE).replace("/", _SLASH), text)
    lines, line = [], "       "
    for piece in _BETWEEN.split(whole):
        if len(line) + len(piece.rstrip()) > _WIDTH and line.strip():
            lines.append(line.rstrip())
            line = "         "
        line += piece
    return [each.replace(_SPACE, " ").replace(_SLASH, "/") for each in [*lines, line.rstrip()]]


def _lines(steps: Sequence[dict[str, Any]]) -> Iterator[str]:
    for number, step in enumerate(steps, 1):
        yield from _wrapped(f"{number}. {step['quantity']}", "  ", "     ")
        yield from _wrapped(step["formula"], "     ", "       ")
        if "with_numbers" in step:
            yield from _calculation(f"= {step['with_numbers']}")
        reader = f" ({step['reader']})" if "reader" in step else ""
        yield from _wrapped(f"= {step['result']}{reader}", "       ", "         ")
        notes = [f"{symbol}: {words}" for symbol, words in step.get("where", {}).items()]
        yield from _wrapped("; ".join([*notes, f"source: {step['source']}"]), "     ", "     ")
