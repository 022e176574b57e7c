"""Answer whether things fit a frame: each is looked up, tried in the design, checked and answered in a sentence."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TypeVar

from pydantic import TypeAdapter

from platewright.app.load import Loaded, load, reassemble
from platewright.assembly.assemble import Assembly
from platewright.foundation.errors import RequestError, nearest_names
from platewright.model.catalogue import (
    ActionCamera,
    Antenna,
    Battery,
    Board,
    BoardPattern,
    Camera,
    Catalogue,
    Motor,
    Propeller,
    Record,
)
from platewright.study.battery_answers import battery_answer
from platewright.study.board_answers import board_answer
from platewright.study.camera_answers import camera_answer
from platewright.study.check import check_assembly
from platewright.study.fit_answers import (
    FitAnswer,
    action_camera_answer,
    carrier_of,
    motor_answer,
    no_place,
    propeller_answer,
)
from platewright.study.signal_answers import antenna_answer, small_board_answer

__all__ = ["find_record", "fit_answers", "fits_json"]

_PREFIXES: Mapping[type[Record], str] = {
    Propeller: "prop_",
    Motor: "motor_",
    BoardPattern: "",
    Camera: "camera_",
    ActionCamera: "action_",
    Battery: "lipo_",
    Antenna: "antenna_",
    Board: "",
}
_SMALL = {"receiver": "receiver", "gps": "position receiver"}
_ADAPTER = TypeAdapter(tuple[FitAnswer, ...])
R = TypeVar("R", bound=Record)


def fit_answers(path: Path, asked: Mapping[str, Sequence[str]], records: Path | None = None) -> tuple[FitAnswer, ...]:
    """Answer whether things fit a design.

    Parameters
    ----------
    path : Path
        The design file.
    asked : mapping of str to sequence of str
        Names of catalogue records by option of `platewright fits`; the class alone is enough, `5in` for `prop_5in`.
    records : Path or None
        A folder of the user's own catalogue records.

    Raises
    ------
    RequestError
        If no record has such a name; the message gives the nearest.
    DesignFileError
        If the file is invalid.
    """
    loaded = load(path, records)
    catalogue = loaded.catalogue
    answers: list[FitAnswer] = []
    for word in asked.get("propeller", ()):
        answers.append(_propeller(loaded, find_record(catalogue, Propeller, word)))
    for word in asked.get("motor", ()):
        answers.append(_motor(loaded, find_record(catalogue, Motor, word)))
    for word in asked.get("boards", ()):
        answers.append(board_answer(loaded.assembly, _pattern(catalogue, word)))
    for word in asked.get("camera", ()):
        answers.append(camera_answer(loaded.assembly, find_record(catalogue, Camera, word)))
    for word in asked.get("action_camera", ()):
        answers.append(_action_camera(loaded, find_record(catalogue, ActionCamera, word)))
    for word in asked.get("battery", ()):
        answers.append(_battery(loaded, find_record(catalogue, Battery, word)))
    answers += [_antenna(loaded, find_record(catalogue, Antenna, word)) for word in asked.get("antenna", ())]
    for option in ("receiver", "gps"):
        answers += [_small_board(loaded, option, word) for word in asked.get(option, ())]
    return tuple(answers)


def fits_json(answers: Sequence[FitAnswer]) -> str:
    """Return answers as JSON."""
    return _ADAPTER.dump_json(tuple(answers), indent=2).decode()


def find_record(catalogue: Catalogue, kind: type[R], word: str) -> R:
    """Return a record by its id, or by what follows the kind's prefix, or by the beginning of that where it is one.

    Raises
    ------
    RequestError
        If none or several are meant.

    Examples
    --------
    >>> from platewright.model.catalogue import load_catalogue
    >>> find_record(load_catalogue(), BoardPattern, "20").id
    '20x20'
    """
    prefix = _PREFIXES[kind]
    known = {r.id: r for r in catalogue.of_class(kind)}
    for name in (word, prefix + word):
        if name in known:
            return known[name]
    begins = [r for i, r in known.items() if re.match(re.escape(word) + r"(\D|$)", i.removeprefix(prefix))]
    if len(begins) == 1:
        return begins[0]
    short = {i.removeprefix(prefix): i for i in known}
    near = [short.get(n, n) for n in nearest_names(word, [*known, *short])] or sorted(known)
    what = kind.kind.replace("_", " ")
    hint = " or ".join(repr(n) for n in dict.fromkeys(r.id for r in begins) or dict.fromkeys(near))
    msg = f"{'several records are' if begins else 'no record is'} a {what} '{word}'; did you mean {hint}?"
    raise RequestError(msg)


def _pattern(catalogue: Catalogue, word: str) -> BoardPattern:
    """Return a board pattern by its own name, or by that of a board that has it."""
    board = next((b for b in catalogue.of_class(Board) if b.id == word), None)
    return find_record(catalogue, BoardPattern, board.pattern if board is not None and board.pattern else word)


def _tried(loaded: Loaded, equipment: str, role: str, record: Record, **changes: object) -> Assembly:
    """Assemble the design with another record in one role of one piece of equipment."""
    design = loaded.assembly.design
    own = next(e for e in design.equipment if e.id == equipment)
    new = own.model_copy(update={"use": {**own.use, role: record.id}, **changes})
    return reassemble(
        loaded,
        design.model_copy(update={"equipment": tuple(new if e.id == equipment else e for e in design.equipment)}),
    )


def _propeller(loaded: Loaded, record: Propeller) -> FitAnswer:
    carrier = carrier_of(loaded.assembly, Propeller)
    if carrier is None:
        return no_place(loaded.assembly, "propeller", record.id, "a propeller")
    check = check_assembly(_tried(loaded, *carrier, record))
    return propeller_answer(loaded.assembly.design.frame.name, record, check)


def _motor(loaded: Loaded, record: Motor) -> FitAnswer:
    carrier = carrier_of(loaded.assembly, Motor)
    if carrier is None:
        return no_place(loaded.assembly, "motor", record.id, "a motor")
    own = next(e for e in loaded.assembly.design.equipment if e.id == carrier[0])
    present = loaded.catalogue.get(Motor, own.use[carrier[1]])
    cut = own.pattern or present.patterns[0]
    tried = _tried(loaded, *carrier, record, pattern=cut if cut in record.patterns else None)
    before = check_assembly(loaded.assembly)
    return motor_answer(loaded.assembly, before, tried, check_assembly(tried), carrier[0], record)


def _action_camera(loaded: Loaded, record: ActionCamera) -> FitAnswer:
    carrier = carrier_of(loaded.assembly, ActionCamera)
    if carrier is None:
        return no_place(loaded.assembly, "action camera", record.id, "an action camera")
    check = check_assembly(_tried(loaded, *carrier, record))
    return action_camera_answer(loaded.assembly.design.frame.name, record, check, *carrier)


def _battery(loaded: Loaded, record: Battery) -> FitAnswer:
    carrier = carrier_of(loaded.assembly, Battery)
    if carrier is None:
        return no_place(loaded.assembly, "battery", record.id, "a battery")
    return battery_answer(record, check_assembly(_tried(loaded, *carrier, record)), *carrier)


def _antenna(loaded: Loaded, record: Antenna) -> FitAnswer:
    """Try an antenna in the place of the first one of its sort, a tube or a head, else of the first one."""
    is_tube = record.head_d_range_mm is None
    carrier = carrier_of(loaded.assembly, Antenna, lambda own: (own.head_d_range_mm is None) == is_tube)
    carrier = carrier or carrier_of(loaded.assembly, Antenna)
    if carrier is None:
        return no_place(loaded.assembly, "antenna", record.id, "an antenna")
    tried = _tried(loaded, *carrier, record)
    return antenna_answer(record, loaded.assembly, tried, check_assembly(tried), *carrier)


def _small_board(loaded: Loaded, option: str, word: str) -> FitAnswer:
    """Try a receiver or a position receiver in the place of the frame's own."""
    record = find_record(loaded.catalogue, Board, word)

    def suits(board: Board) -> bool:
        return board.pattern is None and (board.sky_view_needed if option == "gps" else "receiver" in board.id)

    if not suits(record):
        known = [b.id for b in loaded.catalogue.of_class(Board) if suits(b)]
        msg = f"'{record.id}' is no {_SMALL[option]}; try {' or '.join(known)}."
        raise RequestError(msg)
    carrier = carrier_of(loaded.assembly, Board, suits)
    if carrier is None:
        return no_place(loaded.assembly, option, record.id, f"a {_SMALL[option]}")
    return small_board_answer(option, record, check_assembly(_tried(loaded, *carrier, record)), *carrier)
