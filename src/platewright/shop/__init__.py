"""The arithmetic of a small shop: reorder points, shared stock, sampling, rates of breakage; knows no files and no database."""
