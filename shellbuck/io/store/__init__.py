"""The folder of a study on disk: its inputs, its finished chunks, its table."""
