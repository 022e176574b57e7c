"""Safe arithmetic of the design file: numbers, names, + - * /, min, max, sqrt, sin, cos (degrees).

An expression is parsed with Python's own grammar and walked; nothing is ever executed. Length, depth and size are
bounded, so that no expression can run away.
"""

from __future__ import annotations

import ast
import math
import operator
import warnings
from collections.abc import Callable, Mapping
from functools import lru_cache

from platewright.foundation.errors import nearest_names

__all__ = ["ExpressionError", "evaluate", "names_in"]

_MAX_CHARACTERS = 200
_MAX_NODES = 100
_MAX_SIZE = 1e9

_BINARY: Mapping[type[ast.operator], Callable[[float, float], float]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
}
_FUNCTIONS: Mapping[str, tuple[int | None, Callable[..., float]]] = {
    "min": (None, lambda *numbers: min(numbers)),
    "max": (None, lambda *numbers: max(numbers)),
    "sqrt": (1, math.sqrt),
    "sin": (1, lambda angle_deg: math.sin(math.radians(angle_deg))),
    "cos": (1, lambda angle_deg: math.cos(math.radians(angle_deg))),
}


class ExpressionError(ValueError):
    """An expression cannot be evaluated; the message says why in one sentence."""


def evaluate(text: str, lookup: Callable[[str], float]) -> float:
    """Value of an expression.

    Parameters
    ----------
    text : str
        The expression, at most 200 characters [-].
    lookup : callable
        Gives the value of a (dotted) name, or raises `KeyError` (its second argument may list the known names) [-].

    Returns
    -------
    float
        A finite number below 1e9 in size [-].

    Raises
    ------
    ExpressionError
        If it is no arithmetic, names something unknown, divides by zero, or runs away.

    Examples
    --------
    >>> evaluate("2 * arm.width_mm + sqrt(16)", {"arm.width_mm": 14.0}.__getitem__)
    32.0
    """
    value = _value(_parse(text).body, text, lookup)
    if not math.isfinite(value) or abs(value) > _MAX_SIZE:
        msg = f"must stay below {_MAX_SIZE:.0e} in size ('{text}' gives {value:g})."
        raise ExpressionError(msg)
    return value


def names_in(text: str) -> frozenset[str]:
    """Return the names an expression uses.

    Examples
    --------
    >>> sorted(names_in("level.deck.top_mm - 2 * t_mm"))
    ['level.deck.top_mm', 't_mm']
    """
    return frozenset(_names(_parse(text).body))


@lru_cache(maxsize=4096)  # a design is read more than once, and most of its expressions recur
def _parse(text: str) -> ast.Expression:
    if len(text) > _MAX_CHARACTERS:
        msg = f"must be at most {_MAX_CHARACTERS} characters long (got {len(text)})."
        raise ExpressionError(msg)
    try:
        with warnings.catch_warnings():  # "1or 2" makes Python's parser warn before our walk refuses it
            warnings.simplefilter("ignore")
            tree = ast.parse(_dotted_numbers_as_names(text.strip()), mode="eval")
    except (SyntaxError, ValueError, RecursionError, MemoryError):
        msg = f"must be a number or an expression of + - * / ( ) min max sqrt sin cos and names (got '{text}')."
        raise ExpressionError(msg) from None
    if sum(1 for _ in ast.walk(tree)) > _MAX_NODES:
        msg = f"must be simpler: at most {_MAX_NODES} terms and signs; give parts of it a name in [parameters]."
        raise ExpressionError(msg)
    return tree


def _dotted_numbers_as_names(text: str) -> str:
    """`rotor.1.x_mm` is no Python name: write the number of a rotor as `_1` while parsing."""
    out: list[str] = []
    for i, character in enumerate(text):
        if character.isdigit() and i > 1 and text[i - 1] == "." and (text[i - 2].isalpha() or text[i - 2] == "_"):
            out.append("_")
        out.append(character)
    return "".join(out)


def _dotted(node: ast.expr) -> str | None:
    if isinstance(node, ast.Name):
        return node.id
    if isinstance(node, ast.Attribute):
        head = _dotted(node.value)
        return None if head is None else f"{head}.{node.attr[1:] if node.attr[1:].isdigit() else node.attr}"
    return None


def _names(node: ast.expr) -> set[str]:
    dotted = _dotted(node)
    if dotted is not None:
        return {dotted}
    children = node.args if isinstance(node, ast.Call) else list(ast.iter_child_nodes(node))
    return {name for child in children if isinstance(child, ast.expr) for name in _names(child)}


def _value(node: ast.expr, text: str, lookup: Callable[[str], float]) -> float:
    if isinstance(node, ast.Constant) and isinstance(node.value, int | float) and not isinstance(node.value, bool):
        return float(node.value)
    dotted = _dotted(node)
    if dotted is not None:
        return _named(dotted, text, lookup)
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.UAdd | ast.USub):
        inner = _value(node.operand, text, lookup)
        return -inner if isinstance(node.op, ast.USub) else inner
    if isinstance(node, ast.BinOp) and type(node.op) in _BINARY:
        left, right = _value(node.left, text, lookup), _value(node.right, text, lookup)
        try:
            return _BINARY[type(node.op)](left, right)
        except ZeroDivisionError:
            msg = f"must not divide by zero ('{text}')."
            raise ExpressionError(msg) from None
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and not node.keywords:
        return _call(node.func.id, [_value(a, text, lookup) for a in node.args], text)
    msg = f"may use only numbers, names, + - * / ( ) and min max sqrt sin cos (got '{text}')."
    raise ExpressionError(msg)


def _named(name: str, text: str, lookup: Callable[[str], float]) -> float:
    try:
        return lookup(name)
    except KeyError as error:
        known = error.args[1] if len(error.args) > 1 else ()
        near = nearest_names(name, known)
        hint = f"; did you mean {' or '.join(repr(n) for n in near)}?" if near else "."
        msg = f"uses the unknown name '{name}' in '{text}'{hint}"
        raise ExpressionError(msg) from None


def _call(name: str, arguments: list[float], text: str) -> float:
    if name not in _FUNCTIONS:
        msg = f"knows no function '{name}' in '{text}'; there are min, max, sqrt, sin and cos."
        raise ExpressionError(msg)
    count, function = _FUNCTIONS[name]
    if not arguments or (count is not None and len(arguments) != count):
        msg = f"needs {count or 'one or more'} number(s) in the brackets of {name} ('{text}')."
        raise ExpressionError(msg)
    try:
        return float(function(*arguments))
    except ValueError:
        what = "take the square root of a negative number" if name == "sqrt" else f"take the {name} of infinity"
        msg = f"must not {what} ('{text}')."
        raise ExpressionError(msg) from None
