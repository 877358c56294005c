"""Engines behind one protocol (`problem`, `registry`); closed form, Ritz and shell mesh do not import each other."""
