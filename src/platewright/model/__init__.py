"""The design and catalogue records and their validation."""
