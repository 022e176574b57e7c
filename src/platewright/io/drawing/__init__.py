"""Drawings for people: views of a frame, sections of its columns and dimensioned parts, as SVG text of our own."""
