"""The shipped catalogue data, one file per kind of record."""
