"""Steps from one form of the tables to the next; a step is never changed once a ledger was made with it."""
