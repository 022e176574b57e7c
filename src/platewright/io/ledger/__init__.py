"""A shop's ledger in SQLite or PostgreSQL: items, suppliers, lots, movements, kits, checks, orders."""
