"""What every package may use: errors, records, sources, arrays in files, the look of pictures, worker processes."""
