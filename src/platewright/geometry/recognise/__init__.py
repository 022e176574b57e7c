"""Other people's plates understood from their edges: double lines, cuts and marks, openings, patterns of holes."""
