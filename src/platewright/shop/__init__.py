"""The arithmetic of a small shop: reorder points, shared stock, sampling, rates of breakage; no files, no database."""
