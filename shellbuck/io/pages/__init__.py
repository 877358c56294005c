"""Saved report pages, read back: their data, a reviewer's remarks, and who made them."""
