"""Units, physical constants, errors and findings: what every other layer may use."""
