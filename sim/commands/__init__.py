"""Commands too long for one place."""
