"""Named numbers of a starting design: each with its value or expression, and its reason as a comment."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from platewright.model.expression import evaluate

__all__ = ["Parameter", "comment", "parameter_lines", "stack_key", "values_of"]

_WIDTH = 118
_COMMENT_COLUMN = 33


@dataclass(frozen=True)
class Parameter:
    """One line of `[parameters]`: a number or an expression, and why; a heading opens a group of lines."""

    name: str
    value: float | str
    reason: str
    heading: str = ""


def values_of(parameters: Iterable[Parameter]) -> dict[str, float]:
    """Return the values of parameters that use only those before them.

    Examples
    --------
    >>> values_of([Parameter("a_mm", 2, ""), Parameter("b_mm", "3 * a_mm", "")])["b_mm"]
    6.0
    """
    values: dict[str, float] = {}
    for p in parameters:
        values[p.name] = evaluate(p.value, values.__getitem__) if isinstance(p.value, str) else float(p.value)
    return values


def parameter_lines(parameters: Iterable[Parameter]) -> Iterator[str]:
    """Yield the lines of the table; a reason too long for its line stands above it."""
    for p in parameters:
        if p.heading:
            yield f"\n# {p.heading}"
        value = json.dumps(p.value) if isinstance(p.value, str) else f"{p.value:g}"
        line = f"{p.name} = {value}"
        beside = f"{line:<{_COMMENT_COLUMN - 2}}  # {p.reason}"
        if len(beside) <= _WIDTH:
            yield beside
        else:
            yield from _wrapped(p.reason)
            yield line


def comment(*sentences: str) -> str:
    """Return sentences as a comment, broken into lines.

    Examples
    --------
    >>> comment("it fits.")
    '# It fits.'
    """
    return "\n".join(_wrapped(" ".join(s[:1].upper() + s[1:] for s in sentences if s)))


def stack_key(items: Iterable[str]) -> str:
    """Return the key `stack`, broken into lines where it is long.

    Examples
    --------
    >>> stack_key(["screw M3 socket 12.9", "arm"])
    'stack = ["screw M3 socket 12.9", "arm"]'
    """
    words = [json.dumps(item) for item in items]
    whole = f"stack = [{', '.join(words)}]"
    if len(whole) <= _WIDTH:
        return whole
    lines = ["stack = [", "  "]
    for word in words:
        if len(lines[-1]) + len(word) + 2 > _WIDTH:
            lines.append("  ")
        lines[-1] += f"{word}, "
    return "\n".join([*(line.rstrip() for line in lines), "]"])


def _wrapped(text: str) -> Iterator[str]:
    """Yield a comment broken into lines."""
    line = "#"
    for word in text.split():
        if len(line) + 1 + len(word) > _WIDTH:
            yield line
            line = "#"
        line += f" {word}"
    yield line
