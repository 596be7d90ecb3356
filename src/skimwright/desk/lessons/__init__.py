"""Lessons from a boat's own numbers."""
