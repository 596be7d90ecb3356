"""The pond and its day: course, limits, holds and permissions."""
