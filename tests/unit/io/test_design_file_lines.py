"""Lines of keys in TOML texts."""

from __future__ import annotations

import tomllib
from typing import Any

import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from platewright.io.design_file.lines import Path, key_lines

TEXT = '''# a comment with [brackets] and "quotes"
format = 1

place = [ # after the bracket
  { id = "a", at_mm = [1, 2] },   # } ]
  { id = "b", "odd key" = 'x # y' }
]
[frame]
name = """two
lines ] } " ""\\"""" # the first of four quotes is escaped
next.part = 1
[[part]]
id = "one"
[[part.nodes]]
id = 'n1'
[[part.nodes]]
id = "n2"
[[column]]
stack = [
  "screw, [M3]",

  \'\'\'raw
  text\'\'\',
  "last",
]
[[part]]
id = "two"
when = 1979-05-27 07:32:00
[[part.nodes]]
id = "n3"
'''


def paths_of(value: Any, path: Path = ()) -> set[Path]:
    """Every path in plain values."""
    items: Any = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    found = {path} if path else set()
    for key, inner in items:
        found |= paths_of(inner, (*path, key))
    return found


def test_each_key_has_its_line() -> None:
    lines = key_lines(TEXT)
    expected = {
        ("format",): 2,
        ("place",): 4,
        ("place", 0): 5,
        ("place", 0, "at_mm", 1): 5,
        ("place", 1, "odd key"): 6,
        ("frame",): 8,
        ("frame", "name"): 9,
        ("frame", "next", "part"): 11,
        ("part", 0): 12,
        ("part", 0, "nodes", 1, "id"): 17,
        ("column", 0, "stack", 0): 20,
        ("column", 0, "stack", 1): 22,
        ("column", 0, "stack", 2): 24,
        ("part", 1): 26,
        ("part", 1, "when"): 28,
        ("part", 1, "nodes", 0, "id"): 30,
    }
    assert {path: lines.get(path) for path in expected} == expected


def test_every_value_of_the_text_has_a_line() -> None:
    assert set(key_lines(TEXT)) == paths_of(tomllib.loads(TEXT))


_KEYS = st.text(alphabet='ab "\\#.]=', min_size=1, max_size=4)
_VALUES = st.recursive(
    st.integers(0, 9) | st.text(alphabet="a\"'#[]{}\n\\,=", max_size=6) | st.booleans(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(_KEYS, inner, max_size=3),
    max_leaves=12,
)


@settings(max_examples=150, deadline=None)
@given(st.dictionaries(_KEYS, _VALUES, max_size=5))
def test_texts_of_an_independent_writer_are_scanned_whole(values: dict[str, Any]) -> None:
    text = tomlkit.dumps(values)
    lines = key_lines(text)
    assert set(lines) == paths_of(tomllib.loads(text))
    assert all(1 <= line <= text.count("\n") + 1 for line in lines.values())


def test_deep_nesting_does_not_break_the_scan() -> None:
    assert key_lines("a = " + "[" * 5000 + "]" * 5000)[("a",)] == 1
