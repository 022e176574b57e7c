"""Safe arithmetic."""

from __future__ import annotations

import math

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from platewright.model.expression import ExpressionError, evaluate, names_in

NAMES = {"arm.width_mm": 14.0, "t_mm": 5.0, "rotor.1.x_mm": 80.0, "rotor.12.y_mm": -3.0, "a2": 2.0}


def lookup(name: str) -> float:
    if name not in NAMES:
        raise KeyError(name, tuple(NAMES))
    return NAMES[name]


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("2 * arm.width_mm + sqrt(16)", 32.0),
        ("-t_mm - -3", -2.0),
        ("1 / 4 * (2 + 2)", 1.0),
        ("min(3, t_mm, 4) + max(1)", 4.0),
        ("sin(30) + cos(60)", 1.0),
        ("rotor.1.x_mm + rotor.12.y_mm", 77.0),
        (" 1.5e1 + .5 + a2", 17.5),
        ("2.5 * 2.", 5.0),
    ],
)
def test_values(text: str, value: float) -> None:
    assert evaluate(text, lookup) == pytest.approx(value, rel=1e-15)  # a rounding or two of a double


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("1 / (t_mm - 5)", "divide by zero"),
        ("sqrt(t_mm - 6)", "square root of a negative"),
        ("sin(1e308 * 10)", "sin of infinity"),
        ("1e9 * 10", "stay below"),
        ("1e308 * 10 - 1e308 * 10", "stay below"),
        ("1" + "0" * 190, "stay below"),
        ("t_m", "did you mean 't_mm'"),
        ("arm.widht_mm", "did you mean 'arm.width_mm'"),
        ("exp(1)", "knows no function 'exp'"),
        ("sqrt(1, 2)", "1 number"),
        ("min()", "one or more"),
        ("2 ** 3", "may use only"),
        ("7 // 2", "may use only"),
        ("1 < 2", "may use only"),
        ("True", "may use only"),
        ("1j", "may use only"),
        ("'1'", "may use only"),
        ("[1]", "may use only"),
        ("(lambda: 1)()", "may use only"),
        ("sqrt(x=4)", "may use only"),
        ("__import__('os')", "may use only"),
        ("1 if 1 else 2", "may use only"),
        ("", "must be a number or an expression"),
        ("1 +", "must be a number or an expression"),
        ("((((((((((1", "must be a number or an expression"),
        ("a\0b", "must be a number or an expression"),
        ("1; 2", "must be a number or an expression"),
        ("1 + " * 60 + "1", "at most 200 characters"),
        ("-" * 150 + "1", "must be simpler"),
    ],
)
def test_refused_in_one_sentence(text: str, words: str) -> None:
    with pytest.raises(ExpressionError) as caught:
        evaluate(text, lookup)
    assert words in str(caught.value)
    assert "\n" not in str(caught.value)


def test_names_are_those_used() -> None:
    assert names_in("min(level.deck.top_mm, rotor.2.x_mm) - 2 * t_mm") == {"level.deck.top_mm", "rotor.2.x_mm", "t_mm"}


_PIECES = st.sampled_from(
    [*"+-*/().,12 e_", "**", "//", "min(", "sqrt(", "sin(", "t_mm", "arm.", "rotor.1.", "1e9", "0x", "if", "'"]
)


@settings(max_examples=400, deadline=None)
@given(st.lists(_PIECES, max_size=14).map("".join) | st.text(max_size=30))
@example("1or 2")
@example("1if 1else 2")
@example("'\\d'")
@example("²+1")
@example("a.²")
@example("\ud800")
@example("f'{1}'")
def test_anything_is_a_finite_number_or_an_expression_error(text: str) -> None:
    try:
        value = evaluate(text, lookup)
    except ExpressionError:
        return
    assert math.isfinite(value)
