"""The command line: words for people."""

import sys

try:
    from platewright.cli.main import main
except KeyboardInterrupt:  # Ctrl-C while the program is loaded
    print("interrupted; nothing was changed.", file=sys.stderr)
    sys.exit(130)

__all__ = ["main"]
