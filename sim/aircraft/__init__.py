"""The aircraft, its setup, the site and the people: input models and their files."""
