"""Pure drawings: numbers and words in, SVG text out; every text escaped, colours by class only."""
