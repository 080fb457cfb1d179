"""Faults: how each is put into an aircraft, and how the truth tells whether it is there."""
