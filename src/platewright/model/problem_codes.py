"""The stable codes of what can be wrong in a design file; each has a section in `docs/reference/errors.md`."""

from __future__ import annotations

from collections.abc import Mapping

__all__ = ["PROBLEM_CODES"]

PROBLEM_CODES: Mapping[str, str] = {
    "drawing.path": "the drawing of a part cannot be reached",
    "drawing.unreadable": "the drawing of a part is not one plate",
    "drive.point": "a propeller's static point is incomplete or impossible",
    "equipment.position": "a piece of equipment is placed in two ways",
    "expression.cycle": "parameters use each other in a circle",
    "expression.early": "an expression uses a name that is computed from its own result",
    "expression.invalid": "an expression cannot be evaluated",
    "file.format": "the format version is missing or unknown",
    "file.missing": "a file does not exist",
    "file.syntax": "a file is not TOML",
    "file.unreadable": "a file cannot be read",
    "hardware.length": "a length that is not sold",
    "hardware.unknown": "hardware that the catalogue does not know",
    "include.cycle": "files include each other in a circle",
    "include.path": "an included file lies outside the root folder, or its path cannot be used",
    "key.missing": "a required key is missing",
    "key.unknown": "a key that the record does not have",
    "level.circular": "a level depends on itself",
    "level.unknown": "nothing gives a place its height",
    "load.force": "a load case pushes with nothing, or in no direction",
    "load.place": "a load case names no place, or one that does not exist or cannot be pushed",
    "outline.nodes": "a graph names a node that the part does not have",
    "outline.source": "a part has no outline, or two",
    "parameter.name": "a parameter's name cannot stand in an expression",
    "part.case": "nothing is asked of a lone part, or a case of it has no load",
    "part.group": "a load names a group of holes that a lone part does not have",
    "part.hold": "nothing holds a lone part, or a hole is held and loaded, or in two groups",
    "part.hole": "a lone part lacks a hole that is named",
    "part.material": "a lone part has no material, or two",
    "part.outline": "the shape of a part cannot be cut",
    "place.arms": "a place at the rotors lacks its root, or the root cannot be used",
    "place.stands": "a standing place lacks what fixes it",
    "record.drop": "a record cannot be dropped",
    "record.duplicate": "two records of one file have the same id",
    "record.form": "a list of records or a table is something else",
    "record.id": "a record of a list has no id",
    "reference.catalogue": "a catalogue id that does not exist",
    "reference.equipment": "a stack names equipment or a role that does not exist",
    "reference.part": "a place uses a part that does not exist",
    "reference.place": "a place that does not exist, or cannot serve here",
    "rotors.ways": "the rotors are not given in exactly one way, or their turning directions do not fit",
    "shop.prices": "the price breaks of a shop file are not in order",
    "stack.words": "an item of a stack is not understood",
    "value.choice": "a value is none of the choices",
    "value.count": "a list has too few or too many entries",
    "value.range": "a number is out of range",
    "value.text": "a text does not have the form asked for",
    "value.type": "a value has the wrong type",
}
"""Code and what it means, in a few words."""
