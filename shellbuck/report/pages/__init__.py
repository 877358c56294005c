"""HTML pages of a result, of two runs, of a sizing and of a study. The only door to jinja2 and weasyprint."""
