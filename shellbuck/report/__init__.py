"""What a result looks like, in parts: words, review data, figures and pictures, pages; imports go in that order."""
