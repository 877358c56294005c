"""A barrel by shell mesh: which part is meshed, how finely, its modes and the proof that none is missing."""
