"""Readers and writers: design file, drawings, models, tables."""
