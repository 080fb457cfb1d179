"""Drawings on paper: readings, recordings, sticks, cards."""
