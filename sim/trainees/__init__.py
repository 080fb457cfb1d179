"""Scripted trainees, and the pilot model they fly with."""
