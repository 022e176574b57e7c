"""The scripts in `make/` run within FreeCAD's and Inkscape's own Python; no test of ours can import them."""

collect_ignore = ["make"]
