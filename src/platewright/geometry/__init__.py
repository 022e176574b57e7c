"""Exact plane outlines of lines and arcs: built, pierced, measured, kept; solids of the CAD kernel."""
