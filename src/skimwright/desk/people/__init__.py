"""Crews and adults, and what is kept about them."""
