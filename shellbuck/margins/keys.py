"""Keys of the failure modes that other rooms ask for by name."""

GENERAL, PANEL, SKIN_FIELD = "general", "panel", "skin-field"
