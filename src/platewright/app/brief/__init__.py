"""From a brief to a starting design: what to buy, how to lay it out, and the text of the file."""
