"""The command line: words for people."""
