"""Numbers, formulas and inputs in words, the same on screen and on every page."""
