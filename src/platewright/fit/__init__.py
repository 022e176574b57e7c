"""Does it fit: what touches, reaches, covers or holds what, from an assembly to plain results."""
