"""Measurements of speed and size: ``python -m bench [name ...]``; what each row means is in docs/bench.md."""
