"""A PostgreSQL server for tests: in a temporary folder, as an unprivileged user, on a socket in that folder."""

from __future__ import annotations

import contextlib
import glob
import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

__all__ = ["PostgresServer", "missing_reason", "running_server"]

_USERS = ("postgres", "nobody")
_TABLESPACE = "CREATE TABLESPACE {} LOCATION '{}'"


def missing_reason() -> str:
    """Return why no server can be started here; empty if one can."""
    if _programs() is None:
        return "no PostgreSQL server is installed: as root run 'apt-get install postgresql'"
    if os.getuid() == 0 and _user() is None:
        return "a PostgreSQL server does not run as root, and there is neither a user postgres nor nobody"
    return ""


@contextlib.contextmanager
def running_server() -> Iterator[PostgresServer]:
    """Give a server that runs until the block ends; its folder is removed."""
    folder = Path(tempfile.mkdtemp(prefix="pg"))
    server = PostgresServer(folder)
    try:
        server.initialise()
        server.start()
        yield server
    finally:
        server.stop()
        shutil.rmtree(folder, ignore_errors=True)


class PostgresServer:
    """One server: `url` of a fresh database, `kill` as a power cut would, `start` again."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._programs = _programs() or Path()
        self._owner = _user() if os.getuid() == 0 else None
        self._count = 0
        self._process: subprocess.Popen[bytes] | None = None
        self.give(folder)

    def initialise(self) -> None:
        self._run(
            "initdb", "-D", str(self.folder / "data"), "-U", "maker", "-A", "trust", "-E", "UTF8", "--locale=C", "-N"
        )

    def start(self) -> None:
        """Start it as a child, so that a killed one can be waited for, and wait until it answers."""
        # A kill loses nothing that was handed to the system, so the tests need not wait for the disk.
        options = ("fsync=off", "listen_addresses=", f"unix_socket_directories={self.folder}", "max_connections=30")
        words = ["postgres", "-D", str(self.folder / "data"), *(w for o in options for w in ("-c", o))]
        self._process = self._begin(words, "log")
        for _ in range(600):
            if self._begin(["pg_isready", "-q", "-h", str(self.folder)], "answer").wait() == 0:
                return
            assert self._process.poll() is None, (self.folder / "log").read_text()
            time.sleep(0.05)
        raise AssertionError((self.folder / "log").read_text())

    def stop(self) -> None:
        if self._process is not None:
            self._process.send_signal(signal.SIGQUIT)
            self._process.wait(60)
            self._process = None

    def kill(self) -> None:
        """Kill the server's process and those it started, without a word."""
        assert self._process is not None
        pid = self._process.pid
        children = _read(f"/proc/{pid}/task/{pid}/children").split()
        for one in (pid, *map(int, children)):
            with contextlib.suppress(ProcessLookupError):
                os.kill(one, signal.SIGKILL)
        self._process.wait(60)
        self._process = None
        while any(_alive(int(child)) for child in children):
            time.sleep(0.01)

    def url(self, like: str = "template0") -> str:
        """Make a fresh database, or a copy of one of ours that nobody uses, and return its URL."""
        self._count += 1
        name = f"shop{self._count}"
        like = like.partition("?")[0].rpartition("/")[2]
        self._run("createdb", "-h", str(self.folder), "-U", "maker", "-T", like, name)
        return f"postgresql://maker@/{name}?host={self.folder}"

    def give(self, folder: Path) -> None:
        """Give a folder to the user that the server runs as."""
        if self._owner is not None:
            os.chown(folder, self._owner.pw_uid, self._owner.pw_gid)

    def url_in(self, folder: Path) -> str:
        """Make a fresh database whose tables lie in an empty folder of the server's user, and return its URL."""
        self._count += 1
        name = f"small{self._count}"
        self._run(
            "psql", "-h", str(self.folder), "-U", "maker", "-d", "postgres", "-c", _TABLESPACE.format(name, folder)
        )
        self._run("createdb", "-h", str(self.folder), "-U", "maker", "-T", "template0", "-D", name, name)
        return f"postgresql://maker@/{name}?host={self.folder}"

    def _run(self, *words: str) -> None:
        status = self._begin(list(words), "said").wait(120)
        assert status == 0, f"{words[0]}: {(self.folder / 'said').read_text()}"

    def _begin(self, words: list[str], output: str) -> subprocess.Popen[bytes]:
        owner = self._owner
        who = {} if owner is None else {"user": owner.pw_uid, "group": owner.pw_gid, "extra_groups": []}
        with (self.folder / output).open("ab") as file:
            return subprocess.Popen(
                [str(self._programs / words[0]), *words[1:]],
                stdout=file,
                stderr=subprocess.STDOUT,
                stdin=subprocess.DEVNULL,
                cwd=self.folder,
                env={"PATH": os.environ.get("PATH", ""), "LC_ALL": "C"},
                **who,
            )


def _alive(pid: int) -> bool:
    try:
        return "\nState:\tZ" not in _read(f"/proc/{pid}/status")
    except OSError:
        return False


def _read(name: str) -> str:
    with open(name, encoding="ascii") as file:
        return file.read()


def _programs() -> Path | None:
    """Return the folder of the server's programs: on the path, or where Debian keeps them."""
    found = shutil.which("initdb")
    if found is not None:
        return Path(os.path.realpath(found)).parent
    debian = [p for p in sorted(glob.glob("/usr/lib/postgresql/*/bin")) if os.path.exists(os.path.join(p, "initdb"))]
    return Path(debian[-1]) if debian else None


def _user() -> pwd.struct_passwd | None:
    for name in _USERS:
        with contextlib.suppress(KeyError):
            return pwd.getpwnam(name)
    return None
