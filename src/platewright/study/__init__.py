"""Joins the sciences: from an assembly to findings, masses and stack-ups."""
