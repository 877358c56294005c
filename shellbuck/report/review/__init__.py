"""Data of the interactive review: modes with their fields, spectra, likeness, margins, remarks; and its script."""
