"""The shelf: every fabric, piece, place, photo, reading and deed, in a database."""
