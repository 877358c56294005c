"""The case language: TOML tables with units, to and from the records of the model."""
