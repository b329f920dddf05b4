"""The deeds: one file a feature, and the only room that opens the catalogue."""
