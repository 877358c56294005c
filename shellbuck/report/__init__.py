"""What a reader sees: formatted numbers, printed formulas, figures and the page."""
