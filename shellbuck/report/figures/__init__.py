"""Vector figures of a result or a study, as SVG or PDF. The only door to matplotlib."""
