"""Platewright: from one design file of a carbon-plate multirotor frame to a kit that can be cut."""

__version__ = "0.1.0"
