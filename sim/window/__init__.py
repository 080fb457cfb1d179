"""The window in which a person practises; a thin client of the session."""
