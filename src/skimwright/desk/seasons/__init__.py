"""A season's files, read and kept, and what it all rests on."""
