"""Steps from one form of the tables to the next; a step is never changed once a ledger was made with it.

A new one is a module in `versions` with `revision`, `down_revision` and `upgrade`, and raises `versions.REVISION`.
"""
