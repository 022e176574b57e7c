"""The words of a stack."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platewright.model.stack import ItemKind, StackError, StackItem, parse_item


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("screw M3 socket 12.9", {"kind": ItemKind.SCREW, "size": "M3", "style": "socket", "grade": "12.9"}),
        ("screw M3x16 button 10.9", {"length_mm": 16.0}),
        ("screw M2.5x6 button 10.9", {"size": "M2.5", "length_mm": 6.0}),
        ("nut M3 insert", {"kind": ItemKind.NUT, "style": "insert"}),
        ("nut M3 flanged-insert sold-as-5", {"style": "flanged-insert-as-5"}),
        ("nut M3 press in base_upper", {"style": "press", "name": "base_upper"}),
        ("washer M3", {"kind": ItemKind.WASHER, "style": "plain"}),
        ("washer M3 large", {"style": "large"}),
        ("standoff M3x20", {"kind": ItemKind.STANDOFF, "length_mm": 20.0, "passed": False, "studded": False}),
        ("standoff M3x20 passed", {"passed": True}),
        ("standoff M3x20 studded", {"studded": True}),
        ("spacer M3x5 aluminium", {"kind": ItemKind.SPACER, "length_mm": 5.0, "style": "aluminium"}),
        ("gap", {"kind": ItemKind.GAP}),
        ("deck", {"kind": ItemKind.THING, "name": "deck", "role": ""}),
        ("cheek.right", {"name": "cheek", "role": "right"}),
        ("arm access 6.5", {"name": "arm", "access_mm": 6.5}),
        ("stack.fc in grommet", {"name": "stack", "role": "fc", "in_grommet": True}),
    ],
)
def test_items(text: str, expected: dict[str, object]) -> None:
    item = parse_item(text)
    assert {key: getattr(item, key) for key in expected} == expected
    assert item.text == text


@pytest.mark.parametrize(
    "text",
    [
        "",
        "gap 2",
        "screw",
        "screw M3 socket",
        "screw 3 socket 12.9",
        "nut M3x5 insert",
        "nut M3",
        "nut M3 press into base",
        "washer M3x1",
        "standoff M3",
        "standoff M3x20 short",
        "spacer M3",
        "deck access",
        "deck access wide",
        "deck access nan",
        "deck access 0.0",
        "deck access -3",
        "spacer M3x" + "9" * 400,
        "deck in grommet",
        "scrw M3 socket 12.9",
    ],
)
def test_refused_with_the_form_that_is_needed(text: str) -> None:
    with pytest.raises(StackError, match=r"must|stands alone"):
        parse_item(text)


def test_a_misspelt_first_word_is_answered() -> None:
    with pytest.raises(StackError, match="did you mean 'screw'"):
        parse_item("scrw M3 socket 12.9")


@given(
    st.lists(
        st.sampled_from(["screw", "M3", "M3x5", "gap", "deck", "a.b", "access", "nan", "in", "press", "²"]), max_size=5
    )
)
def test_any_words_make_an_item_or_a_stack_error(words: list[str]) -> None:
    try:
        item = parse_item(" ".join(words))
    except StackError:
        return
    assert isinstance(item, StackItem)
