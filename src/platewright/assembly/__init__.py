"""From a design to placed parts, columns, levels, holes, hardware and bodies."""
