"""What the careful stand-in makes of readings, one module a subject."""
