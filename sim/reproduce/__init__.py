"""Recordings from any logger, brought into our own columns."""
