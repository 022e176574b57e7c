"""Making the parts: cutter rules, nesting, time and cost; mm and s, money in `Decimal`; knows no design file."""
