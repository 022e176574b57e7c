"""Design files: read with their includes into one tree, resolved into a `Design`, every problem at once with its line.

A check that needs the levels of the frame reads once and resolves twice::

    tree = read_tree("frame.toml")
    design = resolve(tree, catalogue)
    levels = ...                      # from the columns of that design
    design = resolve(tree, catalogue, levels)
"""

from platewright.io.design_file.merge import read_tree
from platewright.io.design_file.resolve import read_design, resolve
from platewright.io.design_file.tree import DesignTree

__all__ = ["DesignTree", "read_design", "read_tree", "resolve"]
