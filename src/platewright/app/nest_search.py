"""What a search for a nest has found so far, kept beside its folder for a run that goes on where another was killed."""

from __future__ import annotations

import time
from collections.abc import Sequence
from pathlib import Path

from pydantic import TypeAdapter

from platewright.fabrication.nest import Nest
from platewright.foundation.errors import OutputError
from platewright.io.files import make_folder, write_whole
from platewright.study.nest_results import NestGroupRow
from platewright.study.nesting import NestJob, group_row, start_of

__all__ = ["Search", "best_start"]

_ROWS = TypeAdapter(tuple[NestGroupRow, ...])
_EVERY = 2.0  # between two writings [s]


class Search:
    """Nests found so far in the file `.NAME.search` beside the folder of a nest; without a folder nothing is kept.

    Parameters
    ----------
    out : Path or None
        The folder.
    """

    def __init__(self, out: Path | None) -> None:
        self._path = None if out is None else out.absolute().with_name(f".{out.absolute().name}.search")
        self._done: list[NestGroupRow] = []
        self._written = 0.0

    def earlier(self) -> tuple[NestGroupRow, ...]:
        """Return the nests that an earlier run has left; none where they cannot be read."""
        try:
            return () if self._path is None else _ROWS.validate_json(self._path.read_bytes())
        except (OSError, ValueError):
            return ()

    def better(self, job: NestJob, nest: Nest) -> None:
        """Keep the best nest of a job so far; not more often than every two seconds.

        Raises
        ------
        OutputError
            If it cannot be written.
        """
        if time.monotonic() - self._written >= _EVERY:
            self._write([*self._done, group_row(job, nest)])

    def done(self, row: NestGroupRow) -> None:
        """Keep the nest of a job that is finished.

        Raises
        ------
        OutputError
            If it cannot be written.
        """
        self._done.append(row)
        self._write(self._done)

    def forget(self) -> None:
        """Remove the file: all of it is in the folder."""
        if self._path is not None:
            for path in (self._path, *self._path.parent.glob(f".{self._path.name}.*.part")):
                path.unlink(missing_ok=True)

    def _write(self, rows: Sequence[NestGroupRow]) -> None:
        if self._path is None:
            return
        try:
            make_folder(self._path.parent)
            write_whole(self._path, _ROWS.dump_json(tuple(rows)))
        except OSError as error:
            if isinstance(error, OutputError):
                raise
            msg = f"what was found so far cannot be kept in '{self._path.name}': {error.strerror or error}."
            raise OutputError(msg) from error
        self._written = time.monotonic()


def best_start(job: NestJob, rows: Sequence[NestGroupRow]) -> Nest | None:
    """Return the best of earlier nests of a job; None if there is none of the same pieces and sheets."""
    found = [start for row in rows if (start := start_of(job, row)) is not None]
    return min(found, key=lambda nest: nest.score, default=None)
